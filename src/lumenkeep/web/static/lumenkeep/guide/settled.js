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
    .filter((told) => told.ended === "way-back")
    .reduce((last, told) => opened(bundle, told, last), null);
  return open && !isOver(open, place) ? open : null;
}

function opened(bundle, told, last) {
  const place = stepIndex(bundle, told.step);
  const first = last === null || isOver(last, place);
  const row = bundle.ways[told.step]?.find((one) => one.slip === told.slip);
  if (first && row && isSame(row.acts, told.way)) return standing(bundle, told, [row], false);
  if (first && row?.unfinished && isSame(row.unfinished.acts, told.way)) {
    return standing(bundle, told, [row.unfinished], true);
  }
  const rows = bundle.ways_in_ways?.rows ?? [];
  const fit = rows.filter((one) => one.slip === told.slip && isSame(one.acts, told.way));
  return standing(bundle, told, fit, true);
}

function standing(bundle, told, rows, isSecond) {
  // Of rows that look alike the one that lasts longest counts.
  const ends = rows.map((row) => placeOf(bundle, row.steady === undefined ? row.then : row.steady));
  const then = rows.length ? placeOf(bundle, rows[0].then) : NEVER;
  return { key: `${told.step}/${told.slip}`, isSecond, until: ends.length ? Math.max(...ends) : NEVER, then };
}

/** Over: the steps have caught up; or it disturbed nothing and its own step is done anew. */
const isOver = (open, place) =>
  place >= open.until || (open.until === open.then && place < open.then);
