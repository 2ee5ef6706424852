// The end: the entry filled from what happened, read by both, confirmed by each.
import { allConfirmed, people } from "./account.js";
import { button, focused, h } from "./el.js";
import { fieldControl } from "./field-view.js";
import { bareMs } from "./fold.js";
import { mustAsk, withSecond } from "./length.js";
import { lengthBox } from "./length-view.js";
import { sentElsewhere } from "./ready-screen.js";
import { factsChanged } from "./step-screen.js";
import { faultOf, valueInWords, fieldValue } from "./values.js";
import { clockTime, itemsInWords, lasting, plural, whatIsOpen } from "./words.js";

/** @type {Record<string, string>} */
const ENDED = {
  done: "done.",
  stopped: "stopped, covered, called. It still has to be done.",
  left: "asepsis was left, because the child came first. It still has to be done.",
};
/** @param {Run} run */
const endedWords = ({ state, bundle }) => `${bundle.procedure.title}: ${ENDED[state.ending ?? ""]}`;

/** @param {Run} run @param {Controls} ui */
export function reviewScreen(run, ui) {
  const { state, bundle } = run;
  const confirms = h("div", { class: "g-pair" });
  const ahead = h("p", {});
  const fields = fieldsOf(run);
  const drawn = namesOf(fields);
  const boxes = new Map(fields.filter((field) => field.card).map((field) => [field.field, lengthBox(field, run, ui)]));
  const send = h("button", { type: "button", class: "g-next", id: "send", onclick: () => isReady(run) && ui.send() }, h("b", {}, "Send to the chart"));
  const node = h("div", { class: "g-review" },
    h("h1", { tabindex: "-1", id: "step-head" }, "Read the entry together"),
    h("p", { class: "g-plan" }, endedWords(run)),
    state.facts.read ? null : factsChanged(run, { ...ui, stop: null }),
    sentElsewhere(state, bundle),
    faultsBox(state, bundle),
    h("div", { class: "g-way-halves" },
      h("section", { class: "g-card", "aria-labelledby": "entry-head" }, h("h2", { id: "entry-head" }, "The entry"),
        fields.map((field) => [entryField(run, field, ui), boxes.get(field.field)?.node ?? null])),
      h("section", { class: "g-card", "aria-labelledby": "happened" }, h("h2", { id: "happened" }, "What happened"),
        h("ul", { class: "g-happened" }, happened(state, bundle).map((text) => h("li", {}, text))),
        h("label", { for: "note" }, "Anything to add"),
        h("textarea", { id: "note", rows: "3", value: state.note, oninput: (event) => ui.note(event.target.value) }))),
    h("section", { class: "g-confirm", "aria-labelledby": "confirm-head" }, h("h2", { id: "confirm-head" }, "Each confirms"),
      h("p", { class: "soft" }, bundle.caution), confirms));
  const foot = h("div", { class: "g-foot g-foot-way" }, h("span", {}), h("div", { class: "g-ahead" }, ahead), send);

  // The confirmations follow what is typed without the page being drawn anew under a finger.
  /** @type {string | null} */
  let shown = null;
  function tick() {
    for (const one of boxes.values()) one.tick();
    const box = focused();
    const isTyping = box !== null && ["INPUT", "TEXTAREA"].includes(box.tagName) && box.type !== "radio";
    if (!isTyping && namesOf(fieldsOf(run)) !== drawn) {
      ui.redraw();
      return;
    }
    const open = openFields(run);
    const now = JSON.stringify([open.map((field) => field.field), run.state.confirmed]);
    if (now === shown) return;
    shown = now;
    confirms.replaceChildren(...people(bundle).map((person) => confirmButton(run, person, open, ui)));
    ahead.textContent = aheadWords(run.state, bundle, open);
    send.setAttribute("aria-disabled", String(!isReady(run)));
  }
  tick();
  return { node, foot, tick, heading: "step-head", says: `Read the entry together. ${endedWords(run)}`, commands: {} };
}

/** @param {Run} run */
const isReady = (run) =>
  allConfirmed(run.bundle, run.state) && !openFields(run).length && run.state.facts.read;

/**
 * The fields of the entry; a doubtful length of a work that was done is measured again here too.
 * @param {Run} run
 */
const fieldsOf = ({ state, bundle }) =>
  (state.ending === "done" ? withSecond(bundle.entry.fields, state) : bundle.entry.fields);

/** @param {Field[]} fields */
const namesOf = (fields) => fields.map((field) => field.field).join(" ");

/**
 * Fields that still lack something; a stopped change need not have what was never seen.
 * @param {Run} run
 */
function openFields(run) {
  const { state } = run;
  const isDone = state.ending === "done";
  return fieldsOf(run).filter((field) => {
    const value = fieldValue(state, field);
    if (faultOf(field, value) || mustAsk(field, state)) return true;
    return isDone && field.required && valueInWords(field, value) === "";
  });
}

/** @param {RunState} state @param {Bundle} bundle @param {Field[]} open */
function aheadWords(state, bundle, open) {
  if (open.length) return `${plural(open.length, "thing")} still to fill in: ${open.map((field) => field.label).join(", ")}`;
  if (!allConfirmed(bundle, state)) return "Kept on this tablet. It is sent once both have confirmed.";
  return "Kept on this tablet, ready to be sent.";
}

/** @param {Run} run @param {Field} field @param {Controls} ui */
function entryField(run, field, ui) {
  const { state } = run;
  const value = fieldValue(state, field);
  const fault = state.faults.find((one) => one.where === field.field);
  const words = valueInWords(field, value);
  const isOpen = (field.required && !words) || fault || ui.opened.has(field.field) || faultOf(field, value) || mustAsk(field, state);
  /** @param {Value} to @param {unknown} [again] */
  const put = (to, again) => ui.edit(field, to, again);
  if (isOpen) return fieldControl(field, value, put, { fault });
  return h("div", { class: "g-told" }, h("span", { class: "g-label" }, field.label),
    h("b", {}, words || "nothing"), button(words ? "Change" : "Add", () => ui.change(field), { class: "g-small", "aria-label": `${words ? "Change" : "Add"}: ${field.label}` }));
}

/** @param {RunState} state @param {Bundle} bundle */
function faultsBox(state, bundle) {
  const named = new Set(bundle.entry.fields.map((field) => field.field));
  if (!state.faults.length) return null;
  const elsewhere = state.faults.filter((fault) => !named.has(fault.where));
  return h("div", { class: "g-warn", role: "alert" },
    h("h2", {}, "The chart did not take it yet. Nothing is lost: it is kept on this tablet."),
    h("p", {}, "What is wrong stands at its field below. Mend it, and both confirm again."),
    elsewhere.length ? h("ul", {}, elsewhere.map((fault) => h("li", {}, `${fault.what} ${fault.mend ?? ""}`))) : null);
}

/** @param {RunState} state @param {Bundle} bundle */
function happened(state, bundle) {
  /** @param {Instant | null} at */
  const time = (at) => clockTime(/** @type {Instant} */ (at), bundle.zone);
  const bare = bareMs(state, bundle, state.last_t);
  const early = state.done.filter((one) => one.early).map((one) => `Went on early: ${one.early} (after ${lasting(one.seconds * 1000)})`);
  return [
    `From ${time(state.started_at)} to ${time(state.ended_at)}${bare >= 1000 ? `, ${whatIsOpen(bundle)} for ${lasting(bare)}` : ""}.`,
    ...state.done.filter((one) => one.looked.length).map((one) => `Looked ${one.looked.length === 1 ? "once" : `${one.looked.length} times`} whether it was dry.`),
    ...(state.hold_known ? [`The line was not to be used; known, and gone on: ${state.hold_known.why}`] : []),
    ...alsoCalled(state, bundle),
    ...state.slips.map((one) => slipWords(one, bundle, time)),
    ...early.map((text) => `${text}.`),
    ...state.pauses.map((one) => `Paused ${time(one.from)} to ${time(one.to)}: ${one.why}`),
    ...state.jumps.map((one) => `The tablet's clock jumped by ${lasting(Math.abs(one.seconds) * 1000)} at ${time(one.at)}; no time was counted by it.`),
    ...state.edits.filter((one) => one.why).map((one) => `Changed at the reading: ${one.why}`),
    ...state.remarks,
  ];
}

/**
 * What was called out at the steps and is no field of the entry itself.
 * @param {RunState} state @param {Bundle} bundle
 */
function alsoCalled(state, bundle) {
  const inEntry = new Set(bundle.entry.fields.map((field) => field.field));
  const fields = new Map(bundle.steps.flatMap((step) => step.charted ?? []).map((field) => [field.field, field]));
  return [...fields.values()].filter((field) => !inEntry.has(field.field) && valueInWords(field, state.values[field.field]))
    .map((field) => `${field.label}: ${valueInWords(field, state.values[field.field])}`);
}

const HOW_ENDED = { "way-back": "way back gone", stop: "stopped, covered, called", leave: "asepsis left" };

/** @param {SlipRecord} one @param {Bundle} bundle @param {(at: Instant) => string} time */
function slipWords(one, bundle, time) {
  const spares = Object.keys(one.spares).length ? `; spares: ${itemsInWords(one.spares, bundle)}` : "";
  return `Slip at ${time(one.at)}: ${bundle.slips[one.slip]?.says ?? one.slip} (${HOW_ENDED[one.ended]}${spares})`;
}

/**
 * @param {Run} run
 * @param {Person & { role: Role }} person
 * @param {Field[]} open
 * @param {Controls} ui
 */
function confirmButton(run, person, open, ui) {
  const done = run.state.confirmed.find((one) => one.person === person.key);
  const role = person.role === "operator" ? "operator" : "assistant";
  if (done) {
    return h("p", { class: "g-confirmed", id: `confirmed-${role}` }, h("b", {}, `Confirmed: ${person.name}`), ` ${role}, ${clockTime(done.at, run.bundle.zone)}`);
  }
  return h("button", { type: "button", class: "g-act g-big", id: `confirm-${role}`, "aria-disabled": String(open.length > 0),
    onclick: () => ui.confirm(person, open) }, h("b", {}, `I confirm: ${person.name}`), h("span", {}, role));
}
