// Begins a practice: a fresh invented child where the server answers, else the last one.
import { ask } from "./send.js";
import * as store from "./store.js";

const LAST = "practice";
const AGAIN_MS = 700;
const MOST_TRIES = 120;

async function practiceBundle() {
  const seed = Math.floor(Math.random() * 10_000);
  const path = `/guide/practice/bundle?procedure=dressing-change&seed=${seed}`;
  let answer = await ask(path);
  // 202: the ways back are still being worked out.
  for (let i = 0; i < MOST_TRIES && answer?.status === 202; i += 1) {
    await new Promise((done) => { setTimeout(done, AGAIN_MS); });
    answer = await ask(path);
  }
  if (answer?.status === 200 && Array.isArray(answer.body?.steps)) {
    await store.keep("tablet", { id: LAST, bundle: answer.body });
    return answer.body;
  }
  return (await store.one("tablet", LAST))?.bundle ?? null;
}

/** @param {(what: string) => void} tell */
export async function startPractice(tell) {
  tell("practice-coming");
  for (const kept of await store.all("runs")) if (kept.bundle.practice) await store.forget(kept.run);
  const bundle = await practiceBundle();
  if (!bundle) {
    tell("no-practice");
    return;
  }
  const run = crypto.randomUUID();
  await store.keep("runs", { run, bundle: { ...bundle, run }, kept_at: new Date().toISOString() });
  location.replace(`#${run}`);
}
