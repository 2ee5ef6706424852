// What happened, as it is sent. Pure: the same log gives the same account, so that sending
// it twice says the same thing twice.
import { bareMs } from "./fold.js";
import { leftOver } from "./length.js";
import { asSent } from "./values.js";

/** @param {Bundle} bundle @param {RunState} state @param {string} tablet */
export function accountOf(bundle, state, tablet) {
  return {
    format: 1,
    run: bundle.run,
    tablet,
    started_at: state.started_at,
    ended_at: state.ended_at,
    ending: state.ending,
    operator: bundle.people.operator.key,
    assistant: bundle.people.assistant?.key ?? null,
    confirmed: state.confirmed,
    acknowledged_mark: state.acknowledged,
    ...(state.hold_known && { do_not_use_known: { why: state.hold_known.why } }),
    values: valuesOf(bundle, state),
    edits: state.edits,
    steps: state.done.map(({ passed, ...record }) => record),
    slips: state.slips,
    pauses: state.pauses,
    clock_jumps: state.jumps,
    bare_seconds: Math.round(bareMs(state, bundle, state.last_t) / 1000),
    remarks: remarksOf(state),
  };
}

/** @param {Bundle} bundle @param {RunState} state */
function valuesOf(bundle, state) {
  const fields = new Map(everyField(bundle).map((field) => [field.field, field]));
  const filled = Object.fromEntries(bundle.entry.fields.map((field) => [field.field, field.value ?? null]));
  const left = new Set(leftOver(bundle.entry.fields, state));
  const given = Object.entries({ ...filled, ...state.values })
    .filter(([name, value]) => value !== "" && value !== null && !left.has(name));
  return Object.fromEntries(given.map(([name, value]) => [name, asSent(fields.get(name), value)]));
}

/**
 * All fields: those called out at the steps, and those that only the entry asks for.
 * @param {Bundle} bundle
 */
export const everyField = (bundle) =>
  [...bundle.steps.flatMap((step) => step.charted ?? []), ...bundle.entry.fields];

/** @param {RunState} state */
const remarksOf = (state) => [...state.remarks, state.note].filter((text) => text.trim()).join("\n");

/**
 * Who has to confirm: both, or the one who was there alone.
 * @param {Bundle} bundle @returns {(Person & { role: Role })[]}
 */
export const people = (bundle) =>
  /** @type {Role[]} */ (["operator", "assistant"]).flatMap((role) => {
    const person = bundle.people[role];
    return person ? [{ role, ...person }] : [];
  });

/** @param {Bundle} bundle @param {RunState} state */
export const allConfirmed = (bundle, state) =>
  people(bundle).every((person) => state.confirmed.some((one) => one.person === person.key));
