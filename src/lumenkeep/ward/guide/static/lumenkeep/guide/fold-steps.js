// Going on from step to step, back, and to the end: what each event of it changes. Pure.
import { doingNow, resumesAt, returnsTo } from "./place.js";
import * as span from "./span.js";

/**
 * @param {RunState} state
 * @param {LogEvent} event
 * @param {Bundle} bundle
 * @param {Change} change
 * @returns {Change & { span: Span | null }}
 */
export function enter(state, event, bundle, change) {
  const next = { ...state, ...change };
  const doing = doingNow(next, bundle);
  return { ...change, span: doing && span.opened(doing, event.at, event.t) };
}

/**
 * The step after; one that was left by a step back goes on with the time it had.
 * @param {RunState} state
 * @param {LogEvent} event
 * @param {Bundle} bundle
 * @param {Change} change
 * @returns {Change}
 */
function further(state, event, bundle, change) {
  const entered = enter(state, event, bundle, change);
  const { id } = /** @type {Span} */ (entered.span);
  const left = state.ahead[id];
  if (!left) return entered;
  const { [left.id]: taken, ...ahead } = state.ahead;
  return { ...entered, ahead, span: span.running(taken, event.t) };
}

/** @param {LogEvent} event @param {"done" | "stopped" | "left"} ending @returns {Change} */
const end = (event, ending) =>
  ({ phase: "review", ending, way: null, span: null, ended_at: event.at });

/** @param {AtStep} state @param {LogEvent} event */
export const closed = (state, event) => ({ done: [...state.done, span.recordOf(state.span, event.t)] });

/** @param {AtStep} state @param {LogEvent} event @param {Bundle} bundle @returns {Change} */
export function next(state, event, bundle) {
  const kept = closed(state, event);
  if (state.way) return { ...kept, ...nextAct({ ...state, ...kept }, event, bundle, state.way) };
  if (state.at + 1 >= bundle.steps.length) return { ...kept, ...end(event, "done") };
  return { ...kept, ...further(state, event, bundle, { at: state.at + 1 }) };
}

/**
 * @param {RunState} state
 * @param {LogEvent} event
 * @param {Bundle} bundle
 * @param {Way} way
 * @returns {Change}
 */
export function nextAct(state, event, bundle, way) {
  if (way.i + 1 < way.acts.length) {
    return further(state, event, bundle, { way: { ...way, i: way.i + 1 } });
  }
  if (way.kind === "stop") return end(event, "stopped");
  if (way.kind === "leave") return end(event, "left");
  const at = returnsTo(way, bundle);
  const resumes = resumesAt(way, bundle);
  const anew = way.could_end && resumes > at ? { at, resumes } : null;
  return enter(state, event, bundle, { way: null, anew, at, floor: at, ahead: {} });
}

/**
 * Whether the step on the screen is done anew, though nothing held it when the slip came.
 * @param {RunState} state @returns {state is RunState & { anew: { at: number, resumes: number } }}
 */
export const mayBeFinished = (state) => state.anew !== null && !state.way && state.at === state.anew.at;

/**
 * Two people say that the interrupted step was finished: the way was worked out for that.
 * @type {Handler<"was-finished">}
 */
export function wasFinished(state, event, bundle) {
  if (!mayBeFinished(state)) return {};
  const at = state.anew.resumes;
  const says = bundle.steps[state.at].says;
  const remarks = [...state.remarks, `Finished before the slip, and not repeated: ${says}`];
  return enter(state, event, bundle, { at, floor: at, anew: null, remarks });
}

/** @param {RunState} state */
export const mayGoBack = (state) => (state.way ? state.way.i > 0 : state.at > state.floor);

/** @type {Handler<"back">} */
export function back(state, event, bundle) {
  if (!mayGoBack(state)) return {};
  const way = state.way;
  const change = way ? { way: { ...way, i: way.i - 1 } } : { at: state.at - 1 };
  const left = span.stopped(state.span, event.t);
  const opened = enter(state, event, bundle, change);
  const fresh = /** @type {Span} */ (opened.span);
  const ahead = { ...state.ahead, [left.id]: left };
  const place = state.done.findLastIndex((one) => one.id === fresh.id);
  if (place < 0) return { ...opened, ahead };
  // What was done is not undone by looking back: the step goes on with the time it had.
  const span_ = span.goneOnWith(fresh, state.done[place]);
  return { ...opened, span: span_, ahead, done: state.done.filter((_, i) => i !== place) };
}

/** @type {Handler<"look">} */
export function look(state, event, bundle) {
  const doing = /** @type {Step} */ (doingNow(state, bundle));
  const seen = span.lookedAt(state.span, doing, event.answer, event.at, event.t);
  const wait = bundle.steps[state.at - 1];
  const isBareLook = event.answer === "no" && !state.way && !doing.seconds && wait?.timer === "dry";
  if (!isBareLook) return { span: seen };
  // The wait is a step of its own: wet means that its time runs again.
  const kept = { done: [...state.done, span.recordOf(seen, event.t)] };
  return { ...kept, ...enter(state, event, bundle, { at: state.at - 1 }) };
}
