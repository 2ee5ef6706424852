// Whether the child's chart has changed since the plan was made.
import { ask } from "./send.js";

const PATIENCE_MS = 5000;

/**
 * What to write into the log: the chart's answer, or why there is none.
 * @param {Bundle} bundle @param {string} mark @returns {Promise<FactsHeard>}
 */
export async function hearFacts(bundle, mark) {
  if (bundle.practice) return { mark, changed: [], sent: false };
  const answer = await ask(`/guide/runs/${bundle.run}/facts?mark=${encodeURIComponent(mark)}`, {}, PATIENCE_MS);
  if (!answer) return { why: "no-network" };
  const { mark: now, changed, sent, do_not_use } = answer.body ?? {};
  // Another's page must not read as "nothing new".
  const isFacts = answer.status === 200 && typeof now === "string" && Array.isArray(changed);
  if (isFacts) return { mark: now, changed, sent: sent ?? false, do_not_use };
  return { why: answer.status === 401 ? "signed-out" : "no-answer" };
}
