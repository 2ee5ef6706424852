// The guides kept on this tablet, each with how far it is.
import { h } from "./el.js";
import { fold } from "./fold.js";
import { sentWhen } from "./rest-screens.js";
import * as store from "./store.js";
import { dayTime } from "./words.js";

/** @type {Record<string, string>} */
const WAITING = { "no-answer": "not on the chart yet: tried again by itself", "sign-in": "waits for somebody to sign in", faulty: "the chart did not take it yet: open it", "facts-changed": "the chart has changed: open it" };

/** @param {Bundle} bundle @param {RunState} state @param {OutboxEntry | undefined} entry */
function stateWords(bundle, state, entry) {
  if (entry) return WAITING[entry.status] ?? "waits to be sent";
  if (state.phase === "ready") return `prepared ${dayTime(bundle.made_at, bundle.zone)}, not begun`;
  if (state.phase === "review") return "done, to be confirmed by both";
  return `at step ${state.at + 1} of ${bundle.steps.length}, begun ${dayTime(/** @type {Instant} */ (state.started_at), bundle.zone)}`;
}

export async function listScreen() {
  const [runs, outbox, receipts] = await Promise.all([store.all("runs"), store.all("outbox"), store.all("receipts")]);
  const rows = await Promise.all(runs.filter((kept) => !kept.bundle.practice).map(async ({ bundle }) => {
    const state = fold(bundle, await store.eventsOf(bundle.run));
    const entry = outbox.find((one) => one.run === bundle.run);
    return h("li", {}, h("a", { class: "g-kept-row", href: `#${bundle.run}` },
      h("b", {}, `${bundle.line.child}, bed ${bundle.line.bed}`), h("span", {}, `${bundle.procedure.title}, ${bundle.line.name}, ${bundle.line.ward}`),
      h("em", {}, stateWords(bundle, state, entry))));
  }));
  const sent = receipts.map((receipt) => h("li", {}, sentWhen(receipt), receipt.line_url ? [". ", h("a", { href: receipt.line_url }, "Open the line")] : ""));
  const node = h("div", { class: "g-list" },
    h("h1", { tabindex: "-1", id: "step-head" }, "Guides on this tablet"),
    rows.length ? h("ul", { class: "g-kept-list" }, rows)
      : h("p", { class: "g-plan" }, "None is kept here. Open a line's change plan and prepare the guide; from then on it works without a network."),
    sent.length ? h("section", { "aria-labelledby": "sent-head" }, h("h2", { id: "sent-head" }, "Sent from here"), h("ul", { class: "g-sent" }, sent)) : null,
    h("section", { class: "g-card", "aria-labelledby": "practice-head" }, h("h2", { id: "practice-head" }, "Practice"),
      h("p", {}, "The same guide on an invented child. Slips happen; you say what to do. Nothing is charted."),
      h("a", { class: "g-act", href: "#practice" }, "Practise a dressing change")),
    h("p", {}, h("a", { class: "g-act g-quiet", href: "/" }, "To the wards")));
  return { node, tick() {}, heading: "step-head", says: "", commands: {} };
}
