// A slip, the way back that is begun, and a stop: what each event of it changes. Pure.
import { noRest } from "./fold-rests.js";
import { closed, enter, nextAct } from "./fold-steps.js";
import { holds } from "./holds.js";
import * as span from "./span.js";
import { stopActs } from "./ways.js";

/** @type {Handler<"slip">} */
export const slip = (state, event, bundle) => ({
  slip: { slip: event.slip, step: bundle.steps[state.at].id, at: event.at,
    could_end: state.way ? state.way.could_end : holds(state, bundle, event.t).length === 0 },
  ...noRest(state, event),
  span: span.stopped(state.span, event.t),
});

/** @type {Handler<"way">} */
export function way(state, event, bundle) {
  const slip = state.slip;
  if (!slip) return {};
  const needs = event.kind === "way-back" ? event.needs ?? {} : {};
  const left = { ...state.left };
  for (const [item, count] of Object.entries(needs)) left[item] = Math.max(0, (left[item] ?? 0) - count);
  /** @type {SlipRecord} */
  const record = { slip: slip.slip, step: slip.step, at: slip.at, way: event.acts, ended: event.kind, spares: needs };
  // A way out of a way takes the place of what was left of the first.
  const gone = state.way ? state.way.gone.slice(0, state.way.i) : [];
  /** @type {Way} */
  const inner = {
    kind: event.kind, slip: slip.slip, step: slip.step, acts: event.acts, i: 0,
    then: event.then ?? null, gone: [...gone, ...event.acts], is_second: state.way !== null || event.is_unfinished === true,
    could_end: slip.could_end, finished: slip.finished === true,
  };
  const remarks = slip.finished && event.kind === "way-back"
    ? [...state.remarks, `Finished before the slip, and not repeated: ${bundle.steps[state.at].says}`] : state.remarks;
  const slips = event.kind === "way-back" ? state.slips : state.slips.map((one) => cutOff(one, state.way));
  const change = { way: inner, slip: null, anew: null, left, remarks, slips: [...slips, record], ahead: {} };
  return { ...closed(state, event), ...begin(state, event, bundle, change) };
}

/**
 * A way back that a second slip ended did not bring anybody back.
 * @param {SlipRecord} record @param {Way | null} way @returns {SlipRecord}
 */
const cutOff = (record, way) =>
  way && record.slip === way.slip && record.step === way.step ? { ...record, ended: "stop" } : record;

/**
 * @param {RunState} state
 * @param {LogEvent} event
 * @param {Bundle} bundle
 * @param {Change & { way: Way }} change
 * @returns {Change}
 */
function begin(state, event, bundle, change) {
  if (change.way.acts.length) return enter(state, event, bundle, change);
  return { ...change, ...nextAct({ ...state, ...change }, event, bundle, change.way) };
}

/** @type {Handler<"stop">} */
export function stop(state, event, bundle) {
  const { slip, way } = state;
  const step = slip?.step ?? bundle.steps[state.at].id;
  const acts = stopActs(bundle, way?.step ?? step, slip?.slip ?? way?.slip ?? null);
  /** @type {Way} */
  const inner = { kind: "stop", slip: slip?.slip ?? null, step, acts, i: 0, then: null, gone: acts, is_second: false };
  // A slip that was said and then stopped is told like one that had no way back.
  /** @type {SlipRecord[]} */
  const said = slip ? [{ slip: slip.slip, step, at: slip.at, way: acts, ended: "stop", spares: {} }] : [];
  const slips = [...state.slips.map((one) => cutOff(one, state.way)), ...said];
  const change = { way: inner, slip: null, slips, ahead: {}, ...noRest(state, event),
    remarks: [...state.remarks, `Stopped: ${event.why}`] };
  return { ...closed(state, event), ...begin(state, event, bundle, change) };
}
