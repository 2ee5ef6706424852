// The log and the bundle folded into what is so now. Pure, so that a run that comes back
// after a crash is the run that was there, and a test can say so without a browser.
import { holds } from "./holds.js";
import { doingNow, isBare, resumesAt, returnsTo } from "./place.js";
import * as span from "./span.js";
import { stopActs } from "./ways.js";
import { keyOf, turnedPlans, turnsToRead } from "./turns.js";

export const OFF = "The tablet was off.";

/** @param {Bundle} bundle @returns {RunState} */
export function initial(bundle) {
  return {
    phase: "ready",
    ending: null,
    at: -1,
    floor: 0, // no step back goes behind the end of a way back
    way: null,
    span: null,
    slip: null,
    anew: null, // the step that is done anew after a way back, and where it may go on instead
    paused: null,
    off: null,
    last_t: 0,
    bare_ms: 0,
    left: { ...bundle.spares },
    values: {},
    edits: [],
    remarks: [],
    note: "",
    done: [],
    ahead: {}, // steps left by a step back, with the time they had
    slips: [],
    pauses: [],
    jumps: [],
    picks: [],
    facts: { mark: bundle.facts_mark, heard_at: bundle.made_at, changed: [], read: true, why: null, sent: false },
    acknowledged: null,
    confirmed: [],
    faults: [],
    do_not_use: bundle.do_not_use ?? [],
    turns_read: [], // what was called out and turns the plan, as both have read it
    sure: {}, // lengths of which somebody said: it is so
    hold_known: null, // that it is known, why they go on, and what was known
    started_at: null,
    ended_at: null,
  };
}

/** @param {Bundle} bundle @param {LogEvent[]} events */
export const fold = (bundle, events) =>
  events.reduce((state, event) => advance(state, event, bundle), initial(bundle));

// These speak of the step on the screen; where there is none they mean nothing.
/** @type {Set<EventType>} */
const AT_A_STEP = new Set(["next", "back", "look", "early", "slip", "slip-withdrawn", "way", "stop", "pause", "resume", "off", "go-on", "was-finished", "step-was"]);

/**
 * The state after one more event. An event that does not fit changes nothing but time.
 * @param {RunState} state @param {LogEvent} event @param {Bundle} bundle @returns {RunState}
 */
export function advance(state, event, bundle) {
  const timed = {
    ...state,
    bare_ms: state.bare_ms + (isBare(state, bundle) ? Math.max(0, event.t - state.last_t) : 0),
    last_t: Math.max(state.last_t, event.t),
  };
  const isMeant = !AT_A_STEP.has(event.type) || state.span !== null;
  const how = /** @type {Handler<any> | undefined} */ (HOW[event.type]);
  return isMeant ? { ...timed, ...(how?.(timed, event, bundle) ?? {}) } : timed;
}

/**
 * Seconds the site has been bare, at an instant of the run's own axis.
 * @param {RunState} state @param {Bundle} bundle @param {number} t
 */
export const bareMs = (state, bundle, t) =>
  state.bare_ms + (isBare(state, bundle) ? Math.max(0, t - state.last_t) : 0);

/**
 * @param {RunState} state
 * @param {LogEvent} event
 * @param {Bundle} bundle
 * @param {Change} change
 * @returns {Change & { span: Span | null }}
 */
function enter(state, event, bundle, change) {
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
  const left = entered.span && state.ahead[entered.span.id];
  if (!left) return entered;
  const { [left.id]: taken, ...ahead } = state.ahead;
  return { ...entered, ahead, span: span.running(taken, event.t) };
}

/** @param {LogEvent} event @param {"done" | "stopped" | "left"} ending @returns {Change} */
const end = (event, ending) =>
  ({ phase: "review", ending, way: null, span: null, ended_at: event.at });

/** @param {AtStep} state @param {LogEvent} event */
const closed = (state, event) => ({ done: [...state.done, span.recordOf(state.span, event.t)] });

/** @param {AtStep} state @param {LogEvent} event @param {Bundle} bundle @returns {Change} */
function next(state, event, bundle) {
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
function nextAct(state, event, bundle, way) {
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
function wasFinished(state, event, bundle) {
  if (!mayBeFinished(state)) return {};
  const at = state.anew.resumes;
  const says = bundle.steps[state.at].says;
  const remarks = [...state.remarks, `Finished before the slip, and not repeated: ${says}`];
  return enter(state, event, bundle, { at, floor: at, anew: null, remarks });
}

/** @param {RunState} state */
export const mayGoBack = (state) => (state.way ? state.way.i > 0 : state.at > state.floor);

/** @type {Handler<"back">} */
function back(state, event, bundle) {
  if (!mayGoBack(state)) return {};
  const way = state.way;
  const change = way ? { way: { ...way, i: way.i - 1 } } : { at: state.at - 1 };
  const left = span.stopped(state.span, event.t);
  const opened = enter(state, event, bundle, change);
  const ahead = { ...state.ahead, [left.id]: left };
  const place = state.done.findLastIndex((one) => one.id === opened.span?.id);
  if (place < 0 || !opened.span) return { ...opened, ahead };
  // What was done is not undone by looking back: the step goes on with the time it had.
  const span_ = span.goneOnWith(opened.span, state.done[place]);
  return { ...opened, span: span_, ahead, done: state.done.filter((_, i) => i !== place) };
}

/** @type {Handler<"look">} */
function look(state, event, bundle) {
  const doing = /** @type {Step} */ (doingNow(state, bundle));
  const seen = span.lookedAt(state.span, doing, event.answer, event.at, event.t);
  const wait = bundle.steps[state.at - 1];
  const isBareLook = event.answer === "no" && !state.way && !doing.seconds && wait?.timer === "dry";
  if (!isBareLook) return { span: seen };
  // The wait is a step of its own: wet means that its time runs again.
  const kept = { done: [...state.done, span.recordOf(seen, event.t)] };
  return { ...kept, ...enter(state, event, bundle, { at: state.at - 1 }) };
}

/** @type {Handler<"way">} */
function way(state, event, bundle) {
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
function stop(state, event, bundle) {
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

/**
 * Whatever goes on ends a pause.
 * @param {RunState} state @param {LogEvent} event
 */
const noRest = (state, event) => ({ paused: null, off: null, pauses: endPause(state, event) });

/** @param {RunState} state @param {LogEvent} event */
const endPause = (state, event) =>
  state.paused ? [...state.pauses, { ...state.paused, to: event.at }] : state.pauses;

/** @type {Handler<"off">} */
function off(state, event) {
  const pause = { from: event.held_at, to: event.at, why: OFF };
  const pauses = [...state.pauses, pause];
  if (state.span.since === null) return { pauses };
  return { pauses, off: { ms: event.ms }, span: span.stopped(state.span, event.held_t) };
}

/** @type {Handler<"facts">} */
function facts(state, event) {
  const fresh = event.why !== undefined
    ? { ...state.facts, why: event.why }
    : { mark: event.mark, heard_at: event.at, changed: event.changed, read: !event.changed.length,
        why: null, sent: event.sent ?? false };
  const looked = state.span && { ...state.span, facts: event.at };
  return { facts: fresh, span: looked, do_not_use: event.do_not_use ?? state.do_not_use };
}

/** @type {Handler<"facts-read">} */
const factsRead = (state) => ({
  facts: { ...state.facts, read: true },
  acknowledged: state.facts.mark,
  remarks: [...state.remarks, ...state.facts.changed.map((one) => `Read and gone on: ${one.what}`)],
});

const PUT_ON = new Set(["agent", "dressing"]);

/**
 * Both have read that what was found makes the plan another one, and go on.
 * @type {Handler<"turns-read">}
 */
function turnsRead(state, _, bundle) {
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
function edit(state, event) {
  const before = state.edits.find((one) => one.field === event.field);
  const from = before ? before.from : (state.values[event.field] ?? null);
  const others = state.edits.filter((one) => one.field !== event.field);
  return {
    ...typed(state, { field: event.field, value: event.to }),
    edits: [...others, { field: event.field, from, to: event.to, why: event.why }],
  };
}

/** @param {RunState} state @param {{ field: string, value: Value }} event @returns {Change} */
function typed(state, event) {
  return {
    values: { ...state.values, [event.field]: event.value },
    confirmed: [],
    faults: state.faults.filter((fault) => fault.where !== event.field),
  };
}

/** @param {{ unticked?: string[] }} event */
const notTicked = ({ unticked = [] }) =>
  (unticked.length ? [`Begun while this was not ticked as lying ready: ${unticked.join(", ")}.`] : []);

/** @type {{ [K in EventType]: Handler<K> }} */
const HOW = {
  "begun": (state, event, bundle) =>
    ({ started_at: event.at, remarks: notTicked(event), ...enter(state, event, bundle, { phase: "steps", at: 0 }) }),
  "next": next,
  "back": back,
  "look": look,
  "early": (state, event) => ({ span: { ...state.span, early: event.reason } }),
  "value": typed,
  "slip": (state, event, bundle) => ({
    slip: { slip: event.slip, step: bundle.steps[state.at].id, at: event.at,
      could_end: state.way ? state.way.could_end : holds(state, bundle, event.t).length === 0 },
    ...noRest(state, event),
    span: span.stopped(state.span, event.t),
  }),
  "slip-withdrawn": (state, event) =>
    ({ slip: null, span: span.running(state.span, event.t) }),
  "was-finished": wasFinished,
  "step-was": (state, event) => state.slip && { slip: { ...state.slip, finished: event.finished && state.slip.could_end } },
  "brought": (state, event) => {
    const left = { ...state.left };
    for (const [item, count] of Object.entries(event.items)) left[item] = (left[item] ?? 0) + count;
    return { left, remarks: [...state.remarks, event.says] };
  },
  "way": way,
  "stop": stop,
  "pause": (state, event) => ({
    paused: { from: event.at, why: event.why },
    span: span.stopped(state.span, event.t),
  }),
  "resume": (state, event) => ({
    paused: null,
    pauses: endPause(state, event),
    span: span.running(state.span, event.t),
  }),
  "off": off,
  "go-on": (state, event) => ({ off: null, span: span.running(state.span, event.t) }),
  "jump": (state, event) => ({ jumps: [...state.jumps, { at: event.at, seconds: event.seconds }] }),
  "facts": facts,
  "facts-read": factsRead,
  "turns-read": turnsRead,
  "length-sure": (state, event) => ({ sure: { ...state.sure, [event.field]: event.key } }),
  "hold-known": (state, event) =>
    ({ hold_known: { why: event.why, at: event.at, says: state.do_not_use.map((one) => one.says) } }),
  "picked": (state, event) =>
    ({ picks: [...state.picks, { step: event.step, slip: event.slip, is_right: event.is_right, chose: event.chose }] }),
  "edit": edit,
  "note": (_, event) => ({ note: event.text, confirmed: [] }),
  "confirm": (state, event) => ({
    confirmed: [...state.confirmed.filter((one) => one.person !== event.person), { person: event.person, at: event.at }],
  }),
  "queued": (state) => state.phase === "review" && { phase: "waiting", faults: [] },
  "faults": (_, event) => ({ phase: "review", faults: event.faults, confirmed: [] }),
  "facts-changed": (state, event) => ({
    phase: "review",
    facts: { ...state.facts, mark: event.mark, changed: event.changed, read: false, heard_at: event.at, why: null },
  }),
  "given-up": (_, event) => ({ phase: "given-up", ending: "given-up", note: event.why, ended_at: event.at }),
};
