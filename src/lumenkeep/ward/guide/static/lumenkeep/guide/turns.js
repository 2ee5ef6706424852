// What was called out and makes the plan another one. The rules are the server's: the bundle
// carries which words turn the plan, and to what. Pure.

/**
 * The answers that were called out and turn the plan, with the plan that holds then.
 * @param {RunState} state @param {Bundle} bundle
 */
export const turnsSeen = (state, bundle) =>
  (bundle.turns ?? []).filter(({ field, value }) => [state.values[field] ?? []].flat().includes(value));

/** @param {Turn} turn */
export const keyOf = ({ field, value }) => `${field} ${value}`;

/**
 * Those that nobody has read yet; whoever already stops and covers is not held up.
 * @param {RunState} state @param {Bundle} bundle
 */
export function turnsToRead(state, bundle) {
  if (state.way && state.way.kind !== "way-back") return [];
  return turnsSeen(state, bundle).filter((turn) => !state.turns_read.includes(keyOf(turn)));
}

/**
 * Each plan once, with everything that asks for it.
 * @param {Turn[]} turns
 */
export function turnedPlans(turns) {
  const plans = new Map();
  for (const { label, says } of turns) plans.set(says, [...(plans.get(says) ?? []), label]);
  return [...plans].map(([says, labels]) => ({ says, found: [...new Set(labels)].join(", ") }));
}
