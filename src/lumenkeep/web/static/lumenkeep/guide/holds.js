// What still holds the step on the screen. Pure: "next" goes on only when nothing does.
import { doingNow } from "./place.js";
import { leftMs } from "./span.js";
import { mustAsk, withSecond } from "./length.js";
import { turnsToRead } from "./turns.js";
import { faultOf, isUnknown } from "./values.js";

/** The holds of the step or act on the screen, in the order in which they are dealt with. */
export function holds(state, bundle, t) {
  const doing = doingNow(state, bundle);
  if (!doing || !state.span) return [];
  return [
    ...factsHold(state, doing),
    ...(turnsToRead(state, bundle).length ? [{ kind: "plan-turned" }] : []),
    ...(doing.opens_line && mustBeKnown(state, bundle).length ? [{ kind: "do-not-use" }] : []),
    ...stepFields(doing, bundle, state).flatMap((field) => valueHold(state, field)),
    ...timeHold(state, t),
    ...(doing.look && !state.span.saw_yes ? [{ kind: "look", look: doing.look }] : []),
  ];
}

function factsHold(state, doing) {
  if (!state.facts.read) return [{ kind: "facts-changed" }];
  return doing.checks_facts && !state.span.facts ? [{ kind: "facts-asked" }] : [];
}

/** Why the line is not to be used, as far as nobody has said that it is known. */
export function mustBeKnown(state, bundle) {
  if (bundle.procedure.is_urgent) return [];
  const known = new Set(state.hold_known?.says ?? []);
  return state.do_not_use.filter((one) => !known.has(one.says));
}

function timeHold(state, t) {
  const left = leftMs(state.span, t);
  return left > 0 ? [{ kind: "time", left }] : [];
}

/** The fields of a step; what the entry needs from this step is needed at this step. */
export function stepFields(doing, bundle, state) {
  const needed = new Set(bundle.entry.fields
    .filter((field) => field.required && field.from === doing.id).map((field) => field.field));
  const fields = (doing.charted ?? []).map((field) => (needed.has(field.field) ? { ...field, required: true } : field));
  return withSecond(fields, state);
}

/** What is missing, cannot be, or is still to be answered holds the step; nothing is dropped. */
function valueHold(state, field) {
  if (lacks(state, field)) return [{ kind: "value", field }];
  if (faultOf(field, state.values[field.field])) return [{ kind: "fault", field }];
  return mustAsk(field, state) ? [{ kind: "length", field }] : [];
}

export function lacks(state, field) {
  const value = state.values[field.field];
  if (!field.required || isUnknown(value)) return false;
  return value === undefined || value === null || String(value).trim() === "" ||
    (Array.isArray(value) && value.length === 0);
}
