// What is called out, read and changed for the entry: what each event of it changes. Pure.
import { keyOf, turnedPlans, turnsToRead } from "./turns.js";

/** @type {Handler<"facts">} */
export function facts(state, event) {
  const fresh = event.why !== undefined
    ? { ...state.facts, why: event.why }
    : { mark: event.mark, heard_at: event.at, changed: event.changed, read: !event.changed.length,
        why: null, sent: event.sent ?? false };
  const looked = state.span && { ...state.span, facts: event.at };
  return { facts: fresh, span: looked, do_not_use: event.do_not_use ?? state.do_not_use };
}

/** @type {Handler<"facts-read">} */
export const factsRead = (state) => ({
  facts: { ...state.facts, read: true },
  acknowledged: state.facts.mark,
  remarks: [...state.remarks, ...state.facts.changed.map((one) => `Read and gone on: ${one.what}`)],
});

const PUT_ON = new Set(["agent", "dressing"]);

/**
 * Both have read that what was found makes the plan another one, and go on.
 * @type {Handler<"turns-read">}
 */
export function turnsRead(state, _, bundle) {
  const turns = turnsToRead(state, bundle);
  const said = turnedPlans(turns).map(({ found, says }) => `Found, read and gone on: ${found}. The plan would now be: ${says}`);
  // What is put on from here on is for two people to say: the plan's own is filled in no more.
  const open = bundle.entry.fields.filter(({ field }) => PUT_ON.has(field)).map(({ field }) => [field, ""]);
  return { turns_read: [...state.turns_read, ...turns.map(keyOf)], remarks: [...state.remarks, ...said],
    values: { ...state.values, ...Object.fromEntries(open) } };
}

/**
 * A change at the review: one a field, from what was called out to what stands now.
 * @type {Handler<"edit">}
 */
export function edit(state, event) {
  const before = state.edits.find((one) => one.field === event.field);
  const from = before ? before.from : (state.values[event.field] ?? null);
  const others = state.edits.filter((one) => one.field !== event.field);
  return {
    ...typed(state, { field: event.field, value: event.to }),
    edits: [...others, { field: event.field, from, to: event.to, why: event.why }],
  };
}

/** @param {RunState} state @param {{ field: string, value: Value }} event @returns {Change} */
export function typed(state, event) {
  return {
    values: { ...state.values, [event.field]: event.value },
    confirmed: [],
    faults: state.faults.filter((fault) => fault.where !== event.field),
  };
}
