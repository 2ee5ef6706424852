// Begins a practice: a fresh invented child where the server answers, else the last one.
import { ask } from "./send.js";
import * as store from "./store.js";

const LAST = "practice";

async function practiceBundle() {
  const seed = Math.floor(Math.random() * 10_000);
  const answer = await ask(`/guide/practice/bundle?procedure=dressing-change&seed=${seed}`);
  if (answer?.status === 200 && answer.body) {
    await store.keep("tablet", { id: LAST, bundle: answer.body });
    return answer.body;
  }
  return (await store.one("tablet", LAST))?.bundle ?? null;
}

export async function startPractice(cannot) {
  for (const kept of await store.all("runs")) if (kept.bundle.practice) await store.forget(kept.run);
  const bundle = await practiceBundle();
  if (!bundle) {
    cannot("no-practice");
    return;
  }
  const run = crypto.randomUUID();
  await store.keep("runs", { run, bundle: { ...bundle, run }, kept_at: new Date().toISOString() });
  location.replace(`#${run}`);
}
