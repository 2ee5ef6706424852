// Whether an answer is the chart's own receipt for exactly what was sent. Nothing less
// takes a run off the tablet, which may hold the only copy of what was done. Pure.

/** @type {Record<string, string[]>} */
const ENDS = { account: ["written", "already-written", "kept-beside"], "give-up": ["given-up"] };

/** @param {number} id */
const isEntry = (id) => Number.isSafeInteger(id) && id > 0;

/**
 * A receipt names the run, what it acknowledges, and what is on the chart for it.
 * @param {any} body @param {SentText} sent
 */
export function isReceipt(body, { run, path, digest }) {
  if (body?.run !== run || body.acknowledges !== digest) return false;
  if (!ENDS[path]?.includes(body.status) || typeof body.line_url !== "string") return false;
  const { entries } = body;
  if (!Array.isArray(entries) || !entries.every(isEntry)) return false;
  return path === "give-up" ? !entries.length : entries.length > 0;
}

/**
 * What stands for a text in its receipt: SHA-256 of its bytes, in small hex letters.
 * @param {string} text
 */
export async function digestOf(text) {
  const bytes = await crypto.subtle.digest("SHA-256", new TextEncoder().encode(text));
  return Array.from(new Uint8Array(bytes), (byte) => byte.toString(16).padStart(2, "0")).join("");
}
