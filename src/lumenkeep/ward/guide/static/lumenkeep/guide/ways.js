// Which slips are possible where the run stands, and what each way back asks. The engine
// worked the ways out beforehand; here they are looked up and held against the spares left.
import { actOf, stepHere, stepIndex } from "./place.js";
import { unsettled } from "./settled.js";

const SECOND = "This is a second slip, on a way back. Nobody has worked out a way from here, so the safe side is to stop, cover and call.";
const LATER = "After the last way back, hands, line or field are not yet as the steps expect. Nobody has worked out a way from here, so the safe side is to stop, cover and call.";
const OTHER = "This is in no list, so no way back was worked out. The safe side is to stop, cover and call.";

/**
 * The rows of the slips possible now: the step's own, or those worked out for after a slip.
 * @param {RunState} state @param {Bundle} bundle @returns {WayBack[]}
 */
export function rowsHere(state, bundle) {
  const step = stepHere(state, bundle);
  const here = bundle.ways[step?.id ?? ""] ?? [];
  const { way } = state;
  if (way) {
    const isFirst = way.kind === "way-back" && !way.is_second
      && !unsettled(bundle, state.slips.slice(0, -1), stepIndex(bundle, way.step));
    const worked = isFirst ? lookedUp(bundle, "groups", `${way.step}/${way.slip}`, way.i) : [];
    return withStops(worked, bundle.ways[way.step] ?? [], stopActs(bundle, way.step, way.slip), SECOND);
  }
  const open = unsettled(bundle, state.slips, state.at);
  if (!open) return here;
  const worked = open.isSecond ? [] : lookedUp(bundle, "after", open.key, step?.id);
  return withStops(worked, here, stopActs(bundle, step?.id), LATER);
}

/**
 * Rows worked out for after a first slip: during its way back, or at a step after it.
 * @param {Bundle} bundle
 * @param {"groups" | "after"} table
 * @param {string} key
 * @param {string | number | undefined} place
 * @returns {WayBack[]}
 */
function lookedUp(bundle, table, key, place) {
  const all = bundle.ways_in_ways ?? {};
  const numbers = all[table]?.[/** @type {string} */ (all.of?.[key])]?.[/** @type {string} */ (place)] ?? [];
  return numbers.map((n) => {
    const row = /** @type {WayBack[]} */ (all.rows)[n];
    return /** @type {WayBack} */ ({ stands: [], because: bundle.slips[row.slip]?.because, .../** @type {Partial<WayBack>} */ (row) });
  });
}

/**
 * @param {WayBack[]} worked
 * @param {WayBack[]} others
 * @param {string[]} acts
 * @param {string} because
 */
function withStops(worked, others, acts, because) {
  const known = new Set(worked.map((row) => row.slip));
  const rest = others.filter((row) => !known.has(row.slip));
  return [...worked, ...rest.map((row) => stopRow(acts, row.slip, because))];
}

/**
 * The row of one slip here; of a slip that is in no list, the stop.
 * @param {RunState} state @param {Bundle} bundle @param {string} slip
 */
export function rowFor(state, bundle, slip) {
  return rowsHere(state, bundle).find((row) => row.slip === slip) ?? stopRow(stopActs(bundle, stepHere(state, bundle)?.id), slip, OTHER);
}

/**
 * The row to follow: where an unfinished step asks for another way, that one, unless two
 * people say that the step was finished.
 * @param {WayBack} row @param {{ finished?: boolean }} slip @returns {WayBack}
 */
export function followed(row, slip) {
  if (!row.unfinished || slip.finished) return row;
  return { ...row.unfinished, is_unfinished: true };
}

/**
 * What is done before a child is left, at a step and after a slip there: what is open is closed first.
 * @param {Bundle} bundle @param {string | undefined} step @param {string | null} [slip]
 */
export function stopActs(bundle, step, slip) {
  const row = (bundle.ways[step ?? ""] ?? []).find((one) => one.slip === slip);
  if (row && row.ending !== "way-back") return row.acts;
  return row?.stop ?? bundle.stop.at?.[step ?? ""] ?? bundle.stop.acts;
}

/** @param {string[]} acts @param {string} slip @param {string} because @returns {WayBack} */
const stopRow = (acts, slip, because) =>
  ({ slip, ending: "stop", acts, then: null, cost: null, stands: [], needs: {}, lacking: {}, because });

/**
 * What a way back takes and is no longer there, by item.
 * @param {WayBack} row @param {Counts} left @returns {Counts}
 */
export function lackingNow(row, left) {
  const lacks = { ...row.lacking };
  for (const [item, count] of Object.entries(row.needs ?? {})) {
    const short = count - (left[item] ?? 0);
    if (short > 0) lacks[item] = short;
    else delete lacks[item];
  }
  return lacks;
}

/** @param {WayBack} row @param {Bundle} bundle */
export const actsOf = (row, bundle) => row.acts.map((id) => actOf(bundle, id));

/**
 * Whether words or number of a slip fit what was typed: each word begins one of its words.
 * @param {Slip} slip @param {string} typed
 */
export function fits(slip, typed) {
  const parts = typed.trim().toLowerCase().split(/\s+/).filter(Boolean);
  const words = slip.says.toLowerCase().split(/[^\p{L}\p{N}]+/u);
  return parts.every((part) => String(slip.number) === part || words.some((word) => word.startsWith(part)));
}

/**
 * Steps that need not be done again, each with why, in the order of the procedure.
 * @param {WayBack} row @param {Bundle} bundle
 */
export function stillStands(row, bundle) {
  return (row.stands ?? [])
    .map((one) => ({ step: bundle.steps[stepIndex(bundle, one.step)], because: one.because }))
    .filter((one) => one.step);
}
