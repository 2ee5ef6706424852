// On the page "Prepare the guide": fetches the bundle, keeps it on this tablet, and says
// ready only when the guide can be opened without a network.
import { find, findInput, h } from "./el.js";
import { readyOffline } from "./offline.js";
import { ask } from "./send.js";
import * as store from "./store.js";

const AGAIN_MS = 700;
const form = /** @type {HTMLFormElement} */ (document.querySelector("#prepare-guide"));
const message = find("#prepare-told");
const progress = /** @type {HTMLProgressElement | null} */ (document.querySelector("#prepare-progress"));

const buttons = () => form.querySelectorAll("button");
/** @param {number} ms */
const wait = (ms) => new Promise((resolve) => { setTimeout(resolve, ms); });

/** @param {string} words */
function say(words) {
  message.textContent = words;
  message.hidden = false;
}

/**
 * What the form says; fields named "answers.…" are facts asked beforehand.
 * @returns {Promise<Wanted>}
 */
async function wanted() {
  /** @type {Wanted} */
  const body = { tablet: await store.tabletId(), answers: {} };
  for (const [name, value] of new FormData(form)) {
    if (name.startsWith("answers.")) { if (value) body.answers[name.slice("answers.".length)] = value; }
    else if (name !== "csrfmiddlewaretoken") body[name] = value;
  }
  return body;
}

/** @param {Wanted} body */
function askFor(body) {
  const token = findInput("[name=csrfmiddlewaretoken]", form).value;
  return ask(form.action, {
    method: "POST",
    headers: { "Content-Type": "application/json", "X-CSRFToken": token },
    body: JSON.stringify(body),
  });
}

/**
 * Ask until the ways back are worked out; null where the server stops answering.
 * @param {Wanted} fields
 */
async function bundleFor(fields) {
  let answer = await askFor(fields);
  let run = answer?.body?.run;
  while (answer?.status === 202 && run) {
    if (progress) {
      progress.hidden = false;
      progress.value = answer.body?.progress ?? 0;
    }
    await wait(AGAIN_MS);
    answer = await ask(`/guide/runs/${run}/bundle`);
    run = answer?.body?.run ?? run;
  }
  return answer;
}

async function prepare() {
  say("Working out the ways back …");
  const answer = await bundleFor(await wanted());
  if (!answer || ![200, 201].includes(answer.status) || !Array.isArray(answer.body?.steps)) {
    say(refusal(answer));
    return;
  }
  const bundle = answer.body;
  say("Keeping it on this tablet …");
  const kept = await store.one("runs", bundle.run);
  // A run that is under way here keeps the bundle it began with.
  if (!kept) await store.keep("runs", { run: bundle.run, bundle, kept_at: new Date().toISOString() });
  await navigator.storage?.persist?.();
  try {
    await readyOffline();
  } catch {
    say("This browser cannot keep the guide for use without a network. It can be used while the network holds.");
    offer(bundle, "Open the guide");
    return;
  }
  if (bundle.also_open) {
    const { run, by_name } = bundle.also_open;
    const isAnother = run && run !== bundle.run;
    say(isAnother ? `${by_name} has another guide open on this line. Sent both, it comes to two entries: ask before you begin.`
      : `This change is already open on another tablet, by ${by_name}. Whichever is sent first is charted; the other is kept beside it.`);
    offer(bundle, isAnother ? "Open mine all the same" : "Open it here too");
  } else {
    location.assign(`/guide/#${bundle.run}`);
  }
}

/** @param {ServerAnswer | null} answer */
function refusal(answer) {
  if (!answer) return "The server cannot be reached. Nothing was prepared: try again.";
  const faults = answer.body?.faults?.map((/** @type {Fault} */ fault) => `${fault.what} ${fault.mend ?? ""}`).join(" ");
  if (faults) return faults;
  if (answer.status === 401) return "You are signed out. Sign in, and prepare it again.";
  return answer.body?.what ?? "The guide could not be prepared. Load this page again; if it stays so, work from the change plan.";
}

/** @param {Bundle} bundle @param {string} words */
function offer(bundle, words) {
  const link = /** @type {HTMLAnchorElement | null} */ (document.querySelector("#prepare-open"))
    ?? /** @type {HTMLElement} */ (message.parentElement).appendChild(h("a", { class: "act", id: "prepare-open" }));
  link.href = `/guide/#${bundle.run}`;
  link.textContent = words;
  link.hidden = false;
  // What was asked for is done: one way on, not two.
  for (const one of buttons()) one.hidden = true;
}

form?.addEventListener("submit", async (event) => {
  event.preventDefault();
  const pressed = buttons();
  for (const one of pressed) one.disabled = true;
  try {
    await prepare();
  } catch {
    say("This browser cannot keep the guide on this tablet. Leave private browsing, or use another browser.");
  }
  for (const one of pressed) one.disabled = false;
});
