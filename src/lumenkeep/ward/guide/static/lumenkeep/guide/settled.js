// Whether all is again as the steps expect after a way back. Until then the ways back of the
// undisturbed procedure are not to be used: some would break a rule of asepsis. Pure.
import { stepIndex } from "./place.js";

const NEVER = Infinity;
/** @param {string[]} one @param {string[]} other */
const isSame = (one, other) => one.length === other.length && one.every((id, i) => id === other[i]);
/** @param {Bundle} bundle @param {string | null} id */
const placeOf = (bundle, id) => (id === null ? NEVER : stepIndex(bundle, id));

/**
 * The last way back whose effects are not over at a step; null where there is none.
 * `isSecond`: it began where an earlier one was not over, or during one.
 * @param {Bundle} bundle @param {SlipRecord[]} slips @param {number} place
 */
export function unsettled(bundle, slips, place) {
  const open = slips
    .filter((slip) => slip.ended === "way-back")
    .reduce((last, slip) => opened(bundle, slip, last), /** @type {Standing | null} */ (null));
  return open && !isOver(open, place) ? open : null;
}

/** @param {Bundle} bundle @param {SlipRecord} slip @param {Standing | null} last */
function opened(bundle, slip, last) {
  const place = stepIndex(bundle, slip.step);
  const first = last === null || isOver(last, place);
  const row = bundle.ways[slip.step]?.find((one) => one.slip === slip.slip);
  if (first && row && isSame(row.acts, slip.way)) return standing(bundle, slip, [row], false);
  if (first && row?.unfinished && isSame(row.unfinished.acts, slip.way)) {
    return standing(bundle, slip, [row.unfinished], true);
  }
  const rows = bundle.ways_in_ways?.rows ?? [];
  const fit = rows.filter((one) => one.slip === slip.slip && isSame(one.acts, slip.way));
  return standing(bundle, slip, fit, true);
}

/**
 * @param {Bundle} bundle
 * @param {SlipRecord} slip
 * @param {WayBack[]} rows
 * @param {boolean} isSecond
 * @returns {Standing}
 */
function standing(bundle, slip, rows, isSecond) {
  // Of rows that look alike the one that lasts longest counts.
  const ends = rows.map((row) => placeOf(bundle, row.steady === undefined ? row.then : row.steady));
  const then = rows.length ? placeOf(bundle, rows[0].then) : NEVER;
  return { key: `${slip.step}/${slip.slip}`, isSecond, until: ends.length ? Math.max(...ends) : NEVER, then };
}

/**
 * Over: the steps have caught up; or it disturbed nothing and its own step is done anew.
 * @param {Standing} open @param {number} place
 */
const isOver = (open, place) =>
  place >= open.until || (open.until === open.then && place < open.then);
