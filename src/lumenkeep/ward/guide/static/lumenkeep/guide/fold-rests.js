// Pauses, and time while the tablet was off: what each event of it changes. Pure.
import * as span from "./span.js";

export const OFF = "The tablet was off.";

/** @type {Handler<"pause">} */
export const pause = (state, event) => ({
  paused: { from: event.at, why: event.why },
  span: span.stopped(state.span, event.t),
});

/** @type {Handler<"resume">} */
export const resume = (state, event) => ({
  paused: null,
  pauses: endPause(state, event),
  span: span.running(state.span, event.t),
});

/**
 * Whatever goes on ends a pause.
 * @param {RunState} state @param {LogEvent} event
 */
export const noRest = (state, event) => ({ paused: null, off: null, pauses: endPause(state, event) });

/** @param {RunState} state @param {LogEvent} event */
const endPause = (state, event) =>
  state.paused ? [...state.pauses, { ...state.paused, to: event.at }] : state.pauses;

/** @type {Handler<"off">} */
export function off(state, event) {
  const pause = { from: event.held_at, to: event.at, why: OFF };
  const pauses = [...state.pauses, pause];
  if (state.span.since === null) return { pauses };
  return { pauses, off: { ms: event.ms }, span: span.stopped(state.span, event.held_t) };
}
