// What still holds the step on the screen. Pure: "next" goes on only when nothing does.
import { doingNow } from "./place.js";
import { leftMs } from "./span.js";
import { isUnknown } from "./values.js";

/** The holds of the step or act on the screen, in the order in which they are dealt with. */
export function holds(state, bundle, t) {
  const doing = doingNow(state, bundle);
  if (!doing || !state.span) return [];
  return [
    ...factsHold(state, doing),
    ...asked(doing, bundle).filter((field) => lacks(state, field)).map((field) => ({ kind: "value", field })),
    ...timeHold(state, t),
    ...(doing.look && !state.span.saw_yes ? [{ kind: "look", look: doing.look }] : []),
  ];
}

function factsHold(state, doing) {
  if (!state.facts.read) return [{ kind: "facts-changed" }];
  return doing.checks_facts && !state.span.facts ? [{ kind: "facts-asked" }] : [];
}

function timeHold(state, t) {
  const left = leftMs(state.span, t);
  return left > 0 ? [{ kind: "time", left }] : [];
}

/** The fields of a step; what the entry needs from this step is needed at this step. */
export function asked(doing, bundle) {
  const needed = new Set(bundle.entry.fields
    .filter((field) => field.required && field.from === doing.id).map((field) => field.field));
  return (doing.charted ?? []).map((field) => (needed.has(field.field) ? { ...field, required: true } : field));
}

export function lacks(state, field) {
  const value = state.values[field.field];
  if (!field.required || isUnknown(value)) return false;
  return value === undefined || value === null || String(value).trim() === "" ||
    (Array.isArray(value) && value.length === 0);
}
