// Which slips are possible where the run stands, and what each way back asks. The engine
// worked the ways out beforehand; here they are looked up and held against the spares left.
import { actOf, stepHere, stepIndex } from "./place.js";

const SECOND = "This is a second slip, on a way back. Nobody has worked out a way from here, so the safe side is to stop, cover and call.";
const OTHER = "This is in no list, so no way back was worked out. The safe side is to stop, cover and call.";

/** The rows of the slips possible now; on a way back those worked out for it, or a stop. */
export function rowsHere(state, bundle) {
  const step = stepHere(state, bundle);
  const here = bundle.ways[step?.id] ?? [];
  if (!state.way) return here;
  const { way } = state;
  const worked = (!way.is_second && bundle.ways_in_ways?.[`${way.step}/${way.slip}`]?.[way.i]) || [];
  const known = new Set(worked.map((row) => row.slip));
  const others = (bundle.ways[state.way.step] ?? []).filter((row) => !known.has(row.slip));
  return [...worked, ...others.map((row) => stopRow(bundle, row.slip, SECOND))];
}

/** The row of one slip here; of a slip that is in no list, the stop. */
export function rowFor(state, bundle, slip) {
  return rowsHere(state, bundle).find((row) => row.slip === slip) ?? stopRow(bundle, slip, OTHER);
}

const stopRow = (bundle, slip, because) =>
  ({ slip, ending: "stop", acts: bundle.stop.acts, then: null, cost: null, stands: [], needs: {}, lacking: {}, because });

/** What a way back takes and is no longer there, by item. */
export function lackingNow(row, left) {
  const lacks = { ...row.lacking };
  for (const [item, count] of Object.entries(row.needs ?? {})) {
    const short = count - (left[item] ?? 0);
    if (short > 0) lacks[item] = short;
    else delete lacks[item];
  }
  return lacks;
}

export const actsOf = (row, bundle) => row.acts.map((id) => actOf(bundle, id));

/** Whether words or number of a slip fit what was typed: each word begins one of its words. */
export function fits(slip, typed) {
  const asked = typed.trim().toLowerCase().split(/\s+/).filter(Boolean);
  const words = slip.says.toLowerCase().split(/[^\p{L}\p{N}]+/u);
  return asked.every((part) => String(slip.number) === part || words.some((word) => word.startsWith(part)));
}

/** Steps that need not be done again, each with why, in the order of the procedure. */
export function stillStands(row, bundle) {
  return (row.stands ?? [])
    .map((one) => ({ step: bundle.steps[stepIndex(bundle, one.step)], because: one.because }))
    .filter((one) => one.step);
}
