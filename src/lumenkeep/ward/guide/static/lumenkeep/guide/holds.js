// What still holds the step on the screen. Pure: "next" goes on only when nothing does.
import { doingNow } from "./place.js";
import { leftMs } from "./span.js";
import { mustAsk, withSecond } from "./length.js";
import { turnsToRead } from "./turns.js";
import { faultOf, isUnknown } from "./values.js";

/**
 * The holds of the step or act on the screen, in the order in which they are dealt with.
 * @param {RunState} state @param {Bundle} bundle @param {number} t @returns {Holding[]}
 */
export function holds(state, bundle, t) {
  const doing = doingNow(state, bundle);
  const { span } = state;
  if (!doing || !span) return [];
  return [
    ...factsHold({ ...state, span }, doing),
    ...when(turnsToRead(state, bundle).length > 0, { kind: "plan-turned" }),
    ...when(doing.opens_line && mustBeKnown(state, bundle).length > 0, { kind: "do-not-use" }),
    ...stepFields(doing, bundle, state).flatMap((field) => valueHold(state, field)),
    ...timeHold(span, t),
    ...when(Boolean(doing.look) && !span.saw_yes, { kind: "look" }),
  ];
}

/** @param {boolean} isSo @param {Holding} hold */
const when = (isSo, hold) => (isSo ? [hold] : []);

/** @param {AtStep} state @param {Step} doing @returns {Holding[]} */
function factsHold(state, doing) {
  if (!state.facts.read) return [{ kind: "facts-changed" }];
  return doing.checks_facts && !state.span.facts ? [{ kind: "facts-asked" }] : [];
}

/**
 * Why the line is not to be used, as far as nobody has said that it is known.
 * @param {RunState} state @param {Bundle} bundle
 */
export function mustBeKnown(state, bundle) {
  if (bundle.procedure.is_urgent) return [];
  const known = new Set(state.hold_known?.says ?? []);
  return state.do_not_use.filter((one) => !known.has(one.says));
}

/** @param {Span} span @param {number} t @returns {Holding[]} */
function timeHold(span, t) {
  const left = leftMs(span, t);
  return left > 0 ? [{ kind: "time", left }] : [];
}

/**
 * The fields of a step; what the entry needs from this step is needed at this step.
 * @param {Step} doing @param {Bundle} bundle @param {RunState} state
 */
export function stepFields(doing, bundle, state) {
  const needed = new Set(bundle.entry.fields
    .filter((field) => field.required && field.from === doing.id).map((field) => field.field));
  const fields = (doing.charted ?? []).map((field) => (needed.has(field.field) ? { ...field, required: true } : field));
  return withSecond(fields, state);
}

/**
 * What is missing, cannot be, or is still to be answered holds the step; nothing is dropped.
 * @param {RunState} state @param {Field} field @returns {Holding[]}
 */
function valueHold(state, field) {
  if (lacks(state, field)) return [{ kind: "value", field }];
  if (faultOf(field, state.values[field.field])) return [{ kind: "fault", field }];
  return mustAsk(field, state) ? [{ kind: "length", field }] : [];
}

/** @param {RunState} state @param {Field} field */
export function lacks(state, field) {
  const value = state.values[field.field];
  if (!field.required || isUnknown(value)) return false;
  return value === undefined || value === null || String(value).trim() === "" ||
    (Array.isArray(value) && value.length === 0);
}
