// The log and the bundle folded into what is so now. Pure, so that a run that comes back
// after a crash is the run that was there, and a test can say so without a browser. What an
// event changes lies in the modules beside this one, by what it is about.
import { edit, facts, factsRead, turnsRead, typed } from "./fold-entry.js";
import { off, pause, resume } from "./fold-rests.js";
import { slip, stop, way } from "./fold-slips.js";
import { back, enter, look, next, wasFinished } from "./fold-steps.js";
import { isBare } from "./place.js";
import * as span from "./span.js";

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
  "slip": slip,
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
  "pause": pause,
  "resume": resume,
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
