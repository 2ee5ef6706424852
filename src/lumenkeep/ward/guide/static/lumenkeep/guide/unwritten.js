// Events on their way to the disk. A page that is left in the very moment of a stroke would
// take the stroke with it; what is noted here at once is added when the run comes back.

/** @param {string} run */
const keyOf = (run) => `lumenkeep-pending:${run}`;

/**
 * The same event however often it is written: all of it but its number in the log.
 * @param {LogEvent} event
 */
const mark = ({ n, ...event }) => JSON.stringify(event);

/** @param {string} run @returns {LogEvent[]} */
function noted(run) {
  try {
    return JSON.parse(localStorage.getItem(keyOf(run)) ?? "[]");
  } catch {
    return [];
  }
}

/** @param {string} run @param {LogEvent[]} events */
function keep(run, events) {
  try {
    if (events.length) localStorage.setItem(keyOf(run), JSON.stringify(events));
    else localStorage.removeItem(keyOf(run));
  } catch {
    // Without room for a note the log alone has to do.
  }
}

/**
 * Note an event before it is written.
 * @param {LogEvent} event
 */
export function note(event) {
  keep(event.run, [...noted(event.run), event]);
}

/**
 * It is written, or it was said that it could not be.
 * @param {LogEvent} event
 */
export function settle(event) {
  keep(event.run, noted(event.run).filter((one) => mark(one) !== mark(event)));
}

/**
 * What was noted and never came into the log, in the order it was made.
 * @param {string} run @param {LogEvent[]} events
 */
export function missing(run, events) {
  const written = new Set(events.map(mark));
  return noted(run).filter((event) => !written.has(mark(event)));
}

/**
 * Take every note of a run off this tablet.
 * @param {string} run
 */
export function forgetNotes(run) {
  keep(run, []);
}
