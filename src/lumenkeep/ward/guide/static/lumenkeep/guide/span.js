// A span is one step or act while it is on the screen: how long it has really run, and
// what still holds it. Time is counted on the run's own axis (ms), never on a wall clock.

/**
 * Open a span. `need` is the least time in ms, null where there is none.
 * @param {Step} doing @param {Instant} at @param {number} t
 */
export function opened(doing, at, t) {
  return {
    id: doing.id,
    began_at: at,
    began_t: t,
    credited: 0,
    since: t,
    need: doing.seconds ? doing.seconds * 1000 : null,
    need_from: 0,
    early: null,
    looked: [],
    saw_yes: false,
    facts: null,
  };
}

/** @param {Span} span @param {number} t */
export const creditedMs = (span, t) =>
  span.credited + (span.since === null ? 0 : Math.max(0, t - span.since));

/**
 * Stop counting. What was counted up to `t` stays.
 * @param {Span} span @param {number} t
 */
export const stopped = (span, t) => ({ ...span, credited: creditedMs(span, t), since: null });

/** @param {Span} span @param {number} t */
export const running = (span, t) => (span.since === null ? { ...span, since: t } : span);

/**
 * How much of the least time has passed, in ms; it starts anew after a look that said no.
 * @param {Span} span @param {number} t
 */
export const passedMs = (span, t) => creditedMs(span, t) - span.need_from;

/**
 * What of the least time is left, in ms; 0 where there is none or a reason was given.
 * @param {Span} span @param {number} t
 */
export function leftMs(span, t) {
  if (span.need === null || span.early !== null) return 0;
  return Math.max(0, span.need - passedMs(span, t));
}

/**
 * Write down a look; "no" means the time runs again from here.
 * @param {Span} span
 * @param {Step} doing
 * @param {"yes" | "no"} answer
 * @param {Instant} at
 * @param {number} t
 */
export function lookedAt(span, doing, answer, at, t) {
  const looked = [...span.looked, { at, answer }];
  if (answer === "yes") return { ...span, looked, saw_yes: true };
  const again = doing.look?.again_seconds ?? doing.seconds;
  return {
    ...span,
    looked,
    saw_yes: false,
    early: null,
    need: again ? again * 1000 : null,
    need_from: creditedMs(span, t),
  };
}

/**
 * A span opened again goes on from the record of it.
 * @param {Span} span @param {SpanRecord} record
 */
export function goneOnWith(span, record) {
  const credited = record.seconds * 1000;
  return {
    ...span, credited, began_at: record.began_at, early: record.early, looked: record.looked,
    need_from: credited - record.passed, saw_yes: record.looked.at(-1)?.answer === "yes",
  };
}

/**
 * The record of a span that has ended, as the account tells it.
 * @param {Span} span @param {number} t
 */
export const recordOf = (span, t) => ({
  id: span.id,
  began_at: span.began_at,
  seconds: Math.round(creditedMs(span, t) / 100) / 10,
  early: span.early,
  looked: span.looked,
  passed: passedMs(span, t),
});
