// The guide in the browser: which screen is shown, and what each control does. What
// happened is in the log (run.js); what it means is folded from it (fold.js).
import { beats } from "./beats.js";
import { listen } from "./commands.js";
import { find } from "./el.js";
import { listScreen } from "./list-screen.js";
import { isPanelOpen, closePanel } from "./panel.js";
import { startPractice } from "./practice-start.js";
import { missingScreen, sentScreen } from "./rest-screens.js";
import { openRun } from "./run.js";
import { RunController } from "./run-controller.js";
import { Outbox } from "./send.js";
import { speak } from "./speech.js";
import * as store from "./store.js";
import { keepAwake } from "./wake.js";
import { keepOffline } from "./offline.js";

const content = find("#content");
const foot = find("#foot");
const live = find("#live");

/** @type {RunController | null} The controller of the run that is open. */
let controller = null;
/** @type {GuideScreen | null} What is shown. */
let screen = null;
let opening = 0;

let isReached = true; // a browser may think it has a network that leads nowhere

const outbox = new Outbox(async (run, found) => {
  if (found.status !== "sending") {
    isReached = found.status !== "no-network";
    network();
  }
  if (controller?.run.bundle.run === run) await controller.heard(found);
  else if (!controller && !location.hash.slice(1) && found.status !== "sending") show(await listScreen(), { keepFocus: true });
});

/**
 * Draw a screen; the focus goes to its heading, or stays where the person was.
 * @param {GuideScreen} next @param {ShowHow} [how]
 */
function show(next, { keepFocus = false } = {}) {
  const had = keepFocus ? document.activeElement?.id : null;
  closePanel();
  screen = next;
  content.replaceChildren(next.node);
  foot.replaceChildren(next.foot ?? "");
  document.body.classList.toggle("has-foot", Boolean(next.foot));
  document.body.classList.toggle("is-running", Boolean(controller));
  const back = had ? document.getElementById(had) : null;
  (back ?? document.getElementById(next.heading))?.focus();
  if (!back) window.scrollTo(0, 0);
}

/** @param {string} words @param {string} [aloud] */
function say(words, aloud = words) {
  live.textContent = words;
  speak(aloud);
}

async function showHash() {
  const turn = ++opening;
  const name = location.hash.slice(1);
  if (controller && name !== controller.run.bundle.run) return location.reload(); // lets go of the run
  if (name === "practice") return startPractice((what) => show(missingScreen(what)));
  if (!name) return show(await listScreen());
  const run = await openRun(name, (type) => controller?.changed(type));
  if (turn !== opening) return undefined;
  return showRun(run, name);
}

/** @param {Awaited<ReturnType<typeof openRun>>} run @param {string} name */
async function showRun(run, name) {
  if (run === "missing") {
    const receipt = await store.one("receipts", name);
    return show(receipt ? sentScreen(receipt) : missingScreen("missing"));
  }
  if (run === "elsewhere") return show(missingScreen("elsewhere"));
  controller = new RunController(run, { show, say, outbox, screen: () => screen });
  const menu = find("#menu");
  menu.hidden = false;
  menu.onclick = () => controller?.controls.menu();
  await controller.begin();
  return undefined;
}

function beat() {
  if (!controller) return;
  controller.run.beat();
  screen?.tick(controller.run.clock.t());
  controller.beat();
  keepAwake(controller.run.isUnderWay);
}

/** @param {string} name */
function command(name) {
  const act = screen?.commands[name];
  if (act) act();
  return Boolean(act);
}

async function start() {
  try {
    await store.tabletId();
  } catch {
    show(missingScreen("broken"));
    return;
  }
  listen(command, isPanelOpen);
  window.addEventListener("hashchange", showHash);
  await showHash();
  beats(beat);
  await keepOffline({ isIdle: () => !controller });
  await outbox.look();
}

/** @param {Event} [event] */
function network(event) {
  if (event?.type === "online") isReached = true;
  const is = navigator.onLine && isReached;
  find("#network").textContent = is ? "Kept on this tablet" : "Kept on this tablet, no network";
}
window.addEventListener("online", network);
window.addEventListener("offline", network);
network();
start();
