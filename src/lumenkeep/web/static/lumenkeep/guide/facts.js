// Whether the child's chart has changed since the plan was made.
import { ask } from "./send.js";

const PATIENCE_MS = 5000;

/** What to write into the log: the chart's answer, or why there is none. */
export async function hearFacts(bundle, mark) {
  if (bundle.practice) return { mark, changed: [], sent: false };
  const answer = await ask(`/guide/runs/${bundle.run}/facts?mark=${encodeURIComponent(mark)}`, {}, PATIENCE_MS);
  if (answer?.status === 200 && answer.body) {
    const { mark: now, changed, sent } = answer.body;
    return { mark: now, changed: changed ?? [], sent: sent ?? false };
  }
  return { why: answer?.status === 401 ? "signed-out" : "no-network" };
}
