// Screens on which nothing runs: paused, back after the tablet was off, on its way, gone.
import { button, h } from "./el.js";
import { bareMs } from "./fold.js";
import { doingNow } from "./place.js";
import { passedMs } from "./span.js";
import { clockTime, dayTime, lasting, openFor } from "./words.js";

const still = { tick() {}, heading: "step-head" };
/** @param {Child[]} children */
const page = (...children) => h("div", { class: "g-rest" }, ...children);
/** @param {string} words */
const title = (words) => h("h1", { tabindex: "-1", id: "step-head" }, words);

/**
 * The same places for the hands as at a step: slip to the left, going on to the right.
 * @param {() => unknown} go @param {Controls} ui
 */
const restFoot = (go, ui) => h("div", { class: "g-foot" },
  h("button", { type: "button", class: "g-slip", id: "slip", onclick: ui.slip }, h("b", {}, "Slip"), h("span", {}, "something went wrong")),
  h("div", { class: "g-ahead" }, h("p", {}, h("span", { class: "soft" }, "The time runs on from where it stood."))),
  h("button", { type: "button", class: "g-next", id: "next", onclick: go }, h("b", {}, "Go on")));

/**
 * @param {Run} run
 * @param {HTMLElement} node
 * @param {Omit<GuideScreen, "node" | "tick" | "heading">} more
 * @returns {GuideScreen}
 */
function withBare(run, node, more) {
  const bare = h("p", { class: "g-plan g-bare" });
  node.append(bare);
  /** @param {number} t */
  const tick = (t) => {
    const ms = bareMs(run.state, run.bundle, t);
    bare.textContent = ms ? `${openFor(run.bundle, ms)}.` : "";
  };
  tick(run.clock.t());
  return { ...still, node, tick, ...more };
}

/**
 * Where the step stands: "at 6 of 10 s".
 * @param {Run} run
 */
function standsAt(run) {
  const { state, bundle } = run;
  const doing = /** @type {Step} */ (doingNow(state, bundle));
  const span = /** @type {Span} */ (state.span);
  const place = state.way ? "On the way back" : `Step ${state.at + 1}`;
  if (span.need === null) return `${place}: ${doing.says}`;
  const need = span.need / 1000;
  const passed = Math.min(need, Math.floor(passedMs(span, span.credited + span.began_t) / 1000));
  return `${place}, at ${passed} of ${need} s: ${doing.says}`;
}

/** @param {Run} run @param {Controls} ui @returns {GuideScreen} */
export function offScreen(run, ui) {
  const node = page(title("The guide is back where it was"),
    h("p", { class: "g-plan" }, standsAt(run)),
    h("p", {}, `The guide was closed, or the tablet off, for ${lasting(run.state.off?.ms ?? 0)}. This time is not counted: nobody saw what was done. It is charted as a pause.`));
  return withBare(run, node, { says: "The guide is back where it was.", foot: restFoot(ui.goOn, ui), commands: { next: ui.goOn, slip: ui.slip } });
}

/** @param {Run} run @param {Controls} ui @returns {GuideScreen} */
export function pausedScreen(run, ui) {
  const { from, why } = /** @type {{ from: Instant, why: string }} */ (run.state.paused);
  const node = page(title("Paused"),
    h("p", { class: "g-plan" }, standsAt(run)),
    h("p", {}, `Since ${clockTime(from, run.bundle.zone)}: ${why}. The time of the step stands still, also a drying time: nobody watches it.`));
  return withBare(run, node, { says: "Paused.", foot: restFoot(ui.resume, ui), commands: { next: ui.resume, slip: ui.slip } });
}

/** @type {Record<string, string>} */
const SENDING = {
  waiting: "Kept on this tablet. It will be sent.",
  sending: "Sending …",
  "no-network": "Kept on this tablet. No network: it is sent by itself when the network is back.",
  "no-answer": "Kept on this tablet, and not on the chart yet. Something answered, but not the chart as it should (it may be under maintenance): it is tried again by itself.",
  "sign-in": "Kept on this tablet. Sign in to send it.",
  "not-yours": "Kept on this tablet. This account may not chart on this ward: sign in with one that may.",
};

/** @param {Run} run @param {Controls} ui @returns {GuideScreen} */
export function waitingScreen(run, ui) {
  const { status } = ui.sending();
  const asks = status === "sign-in" || status === "not-yours";
  const node = page(title("The entry"),
    h("p", { class: "g-plan", id: "sending", role: "status" }, SENDING[status] ?? SENDING.waiting),
    h("p", {}, "You may close the guide. Open it again later on this tablet, and it goes on sending."),
    h("div", { class: "g-choices" },
      asks ? h("a", { class: "g-act", href: `/sign-in/?next=${encodeURIComponent(`/guide/#${run.bundle.run}`)}` }, "Sign in") : null,
      button("Try now", ui.hurry), h("a", { class: "g-act g-quiet", href: "#" }, "All guides on this tablet")));
  return { ...still, node, says: "", commands: {} };
}

/** @type {Record<string, string>} */
const SENT = {
  written: "It is on the chart.",
  "already-written": "It is on the chart: it had arrived before.",
  "kept-beside": "Another tablet's entry of this change came first and is on the chart. What this tablet says is kept beside it, on the line's page.",
};

/** @param {Receipt} receipt @returns {GuideScreen} */
export function sentScreen(receipt) {
  const node = page(title("Sent"),
    h("p", { class: "g-plan", id: "sending", role: "status" }, receipt.path === "give-up" ? "Given up; nothing was done." : SENT[receipt.status] ?? "Sent."),
    h("p", {}, "Nothing of this child is kept on this tablet any more."),
    h("div", { class: "g-choices" },
      receipt.line_url ? h("a", { class: "g-act", href: receipt.line_url }, "Open the line") : null,
      h("a", { class: "g-act g-quiet", href: "#" }, "All guides on this tablet")));
  return { ...still, node, says: "Sent.", commands: {} };
}

/** @param {string} why @returns {GuideScreen} */
export function missingScreen(why) {
  const words = {
    missing: "This guide is not on this tablet. Open the change plan of the line and prepare it here.",
    elsewhere: "This guide is open in another window of this tablet. Go on there, or close that window and load this page again.",
    broken: "This browser cannot keep anything on this tablet, so the guide cannot run here. Leave private browsing, or use another browser.",
    "practice-coming": "An invented child, and what goes wrong with it, are being thought up.",
    "no-practice": "Practice needs the network the first time, and somebody signed in. Afterwards it works without.",
  }[why];
  const heading = why === "practice-coming" ? "Practice" : "Not here";
  const node = page(title(heading), h("p", { class: "g-plan" }, words),
    h("div", { class: "g-choices" }, h("a", { class: "g-act", href: "#" }, "All guides on this tablet"), h("a", { class: "g-act g-quiet", href: "/" }, "To the wards")));
  return { ...still, node, says: "", commands: {} };
}

/** @param {Receipt} receipt */
export const sentWhen = (receipt) => `Sent ${dayTime(receipt.at)}`;
