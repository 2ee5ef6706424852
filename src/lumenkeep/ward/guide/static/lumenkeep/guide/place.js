// Where a run stands: which step or act is on the screen, and what comes after it.
// Pure: a state and a bundle in, an answer out.

/** @param {Bundle} bundle @param {string} id */
export const stepIndex = (bundle, id) => bundle.steps.findIndex((step) => step.id === id);

/**
 * The step of the procedure that the run has reached, also during a way back.
 * @param {RunState} state @param {Bundle} bundle
 */
export const stepHere = (state, bundle) => bundle.steps[state.at] ?? null;

/**
 * The step or act that is on the screen; null before the first and after the last.
 * @param {RunState} state @param {Bundle} bundle
 */
export function doingNow(state, bundle) {
  if (state.phase !== "steps") return null;
  if (state.way) return actOf(bundle, state.way.acts[state.way.i]);
  return stepHere(state, bundle);
}

/** @param {Bundle} bundle @param {string} id */
export const actOf = (bundle, id) => ({ id, ...bundle.acts[id] });

/**
 * What comes next, so that it is in sight; null at the end.
 * @param {RunState} state @param {Bundle} bundle
 */
export function comesNext(state, bundle) {
  const way = state.way;
  if (!way) return bundle.steps[state.at + 1] ?? null;
  if (way.i + 1 < way.acts.length) return actOf(bundle, way.acts[way.i + 1]);
  if (way.kind !== "way-back") return null;
  return bundle.steps[returnsTo(way, bundle)] ?? null;
}

/**
 * Place of the step that a way names as the next, as if the slip's own had been done.
 * @param {Pick<Way, "then">} way @param {Bundle} bundle
 */
export const resumesAt = (way, bundle) => (way.then === null ? -1 : stepIndex(bundle, way.then));

/**
 * Place of the step at which a way back ends. A way is worked out as if the slip's own step
 * had been done; it was interrupted, so it is done anew, unless the way itself redid it or
 * two people say that it was finished.
 * @param {Pick<Way, "then" | "step" | "gone" | "finished">} way @param {Bundle} bundle
 */
export function returnsTo(way, bundle) {
  const own = stepIndex(bundle, way.step);
  const named = resumesAt(way, bundle);
  const isRedone = way.gone.some((id) => (bundle.acts[id]?.step ?? id) === way.step);
  return named < 0 || (named > own && !isRedone && !way.finished) ? own : named;
}

/**
 * Whether the site is bare. An act that does not say so leaves it as its step had it.
 * @param {RunState} state @param {Bundle} bundle
 */
export function isBare(state, bundle) {
  if (state.phase !== "steps") return false;
  const now = doingNow(state, bundle);
  return Boolean(now?.bare ?? stepHere(state, bundle)?.bare);
}

/**
 * Whether anything was done at the child yet, after which giving up means covering.
 * @param {RunState} state @param {Bundle} bundle
 */
export function hasTouched(state, bundle) {
  const first = bundle.steps.findIndex((step) => step.bare || step.checks_facts);
  return state.slips.length > 0 || state.way !== null || (first >= 0 && state.at >= first);
}
