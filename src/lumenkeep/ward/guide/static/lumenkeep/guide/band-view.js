// The band at the top of every screen of a run: who, where, with what, and what to mind.
// Two identifiers tell the child; the bed stands beside them and is never one.
import { find, h } from "./el.js";
import { turnsSeen } from "./turns.js";

/**
 * Show whose line it is, and what counts now; taken anew with every screen.
 * @param {Bundle} bundle @param {RunState} state
 */
export function showBand(bundle, state) {
  const { line, practice } = bundle;
  const who = line.identifiers ?? [{ label: "Name", says: line.child }];
  find("#for").replaceChildren(
    practice ? h("span", { class: "g-practice" }, "Practice: nothing is charted") : "",
    ...who.map(identifier));
  find("#band").replaceChildren(...parts(bundle, state));
}

/** @param {{ label: string | null, says: string }} one @param {number} i */
const identifier = ({ label, says }, i) =>
  h(i ? "span" : "b", { class: label ? "g-who-is" : "g-who-is is-lacking" }, label && i ? `${label} ${says}` : says);

/** @param {Bundle} bundle @param {RunState} state */
function parts(bundle, state) {
  const { line, band } = bundle;
  const held = state.do_not_use;
  // What was found may bar what the plan had: it is not told as the plan any more.
  const put = turnsSeen(state, bundle).length
    ? [h("li", { class: "is-held" }, h("b", {}, "What was found changes the plan"))]
    : [band?.agent ? part("Skin", band.agent) : null, band?.dressing ? part("Dressing", band.dressing) : null];
  const all = [
    part("Bed", line.bed || "not charted", "g-bed-is"),
    line.shares_bed ? h("li", { class: "is-mind" }, h("b", {}, "Another child has this bed number too")) : null,
    ...put,
    band ? part("Does not tolerate", band.allergies.says, band.allergies.words?.length === 0 ? "" : "is-mind") : null,
    band?.last_length ? part("Last length", band.last_length) : null,
    held.length ? h("li", { class: "is-held" }, h("b", {}, "Do not use the line"), h("span", {}, ` until ${untilWords(held)}`)) : null,
  ];
  return all.filter((one) => one !== null);
}

/** @param {string} label @param {string} says */
const part = (label, says, kind = "") => h("li", kind ? { class: kind } : {}, h("span", { class: "g-band-label" }, label), " ", h("b", {}, says));

/** @param {Hold[]} held */
export const untilWords = (held) => [...new Set(held.map((one) => one.until))].join(", and ");

/**
 * Why the line is not to be used, as a warning on a screen.
 * @param {RunState} state
 */
export function heldBox(state) {
  const { do_not_use: held, hold_known: known } = state;
  if (!held.length) return null;
  return h("section", { class: "g-warn g-held-box", "aria-labelledby": "held-head" },
    h("h2", { id: "held-head" }, "Do not use the line"), heldList(held),
    known ? h("p", {}, h("b", {}, "Known, and gone on: "), known.why) : null);
}

/** @param {Hold[]} held */
export const heldList = (held) =>
  h("ul", {}, held.map((one) => h("li", {}, one.says, " ", h("b", {}, `Not until ${one.until}.`))));
