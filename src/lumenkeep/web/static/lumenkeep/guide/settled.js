// Whether all is again as the steps expect after a way back. Until then the ways back of the
// undisturbed procedure are not to be used: some would break a rule of asepsis. Pure.
import { stepIndex } from "./place.js";

const NEVER = Infinity;
const isSame = (one, other) => one.length === other.length && one.every((id, i) => id === other[i]);
const placeOf = (bundle, id) => (id === null ? NEVER : stepIndex(bundle, id));

/**
 * The last way back whose effects are not over at a step; null where there is none.
 * `isSecond`: it began where an earlier one was not over, or during one.
 */
export function unsettled(bundle, slips, place) {
  const open = slips
    .filter((slip) => slip.ended === "way-back")
    .reduce((last, slip) => opened(bundle, slip, last), null);
  return open && !isOver(open, place) ? open : null;
}

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

function standing(bundle, slip, rows, isSecond) {
  // Of rows that look alike the one that lasts longest counts.
  const ends = rows.map((row) => placeOf(bundle, row.steady === undefined ? row.then : row.steady));
  const then = rows.length ? placeOf(bundle, rows[0].then) : NEVER;
  return { key: `${slip.step}/${slip.slip}`, isSecond, until: ends.length ? Math.max(...ends) : NEVER, then };
}

/** Over: the steps have caught up; or it disturbed nothing and its own step is done anew. */
const isOver = (open, place) =>
  place >= open.until || (open.until === open.then && place < open.then);
