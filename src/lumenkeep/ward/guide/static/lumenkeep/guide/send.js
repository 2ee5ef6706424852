// Sends what lies in the outbox, again and again until the server has confirmed it. The
// run's number makes it one entry, however often it arrives.
import { digestOf, isReceipt } from "./receipt.js";
import * as store from "./store.js";

const LONGEST_MS = 60_000;
const WAITS_MS = [1000, 2000, 5000, 10_000, 30_000, LONGEST_MS];
const PATIENCE_MS = 20_000;
const LOCK = "lumenkeep-guide-send";

/**
 * Ask the server; null when it cannot be reached. What is not the guide's own JSON (a page
 * of another kind, a way to another address) has no body.
 * @param {string} path @param {RequestInit} [options] @returns {Promise<ServerAnswer | null>}
 */
export async function ask(path, options = {}, patience = PATIENCE_MS) {
  try {
    const answer = await fetch(path, {
      cache: "no-store", credentials: "same-origin", redirect: "manual",
      signal: AbortSignal.timeout(patience), ...options,
      headers: { Accept: "application/json", .../** @type {Record<string, string>} */ (options.headers) },
    });
    return { status: answer.status, body: await bodyOf(answer) };
  } catch {
    return null;
  }
}

/** @param {Response} answer */
async function bodyOf(answer) {
  const kind = answer.headers.get("Content-Type")?.split(";")[0].trim().toLowerCase();
  if (answer.type !== "basic" || answer.redirected || kind !== "application/json") return null;
  return answer.json().catch(() => null);
}

/**
 * POST a text with the token that proves that it comes from our own page.
 * @param {string} path @param {string} text
 */
async function post(path, text) {
  const token = await ask("/guide/token");
  if (typeof token?.body?.token !== "string") return token;
  return ask(path, {
    method: "POST",
    headers: { "Content-Type": "application/json", "X-CSRFToken": token.body.token },
    body: text,
  });
}

/**
 * The answers that are the guide's own, each with what it must hold.
 * @type {Record<number, { status: string, is: (body: any, sent: SentText) => boolean, again?: number }>}
 */
const OWN = {
  200: { status: "sent", is: isReceipt },
  401: { status: "sign-in", is: (body) => body?.status === "sign-in", again: LONGEST_MS },
  403: { status: "not-yours", is: (body) => body?.status === "not-yours", again: LONGEST_MS },
  409: { status: "facts-changed", is: (body) => Array.isArray(body?.changed) && typeof body.mark === "string" },
  422: { status: "faulty", is: (body) => Array.isArray(body?.faults) },
};

/**
 * What becomes of an entry in the outbox after an answer. Pure.
 * @param {ServerAnswer | null} answer
 * @param {number} tries
 * @param {SentText} sent
 * @returns {Sending}
 */
export function outcome(answer, tries, sent) {
  const again = WAITS_MS[Math.min(tries, WAITS_MS.length - 1)];
  if (!answer) return { status: "no-network", again };
  const own = OWN[answer.status];
  // An answer that is not the guide's own (a proxy's page, say) proves nothing.
  if (!own?.is(answer.body, sent)) return { status: "no-answer", again };
  const { is, ...found } = own;
  return { ...found, body: answer.body };
}

export class Outbox {
  /** @param {(run: string, found: Sending) => unknown} tell */
  constructor(tell) {
    this.tell = tell;
    this.timer = /** @type {ReturnType<typeof setTimeout> | undefined} */ (undefined);
    window.addEventListener("online", () => this.hurry());
    document.addEventListener("visibilitychange", () => this.hurry());
  }

  /** Look again at once, whatever was to be waited for. */
  async hurry() {
    for (const entry of await store.all("outbox")) {
      if (entry.next_at > 0) await store.keep("outbox", { ...entry, next_at: 0 });
    }
    return this.look();
  }

  async look() {
    clearTimeout(this.timer);
    /** @type {(work: () => Promise<void>) => Promise<unknown>} */
    const alone = navigator.locks
      ? (work) => navigator.locks.request(LOCK, { ifAvailable: true }, (lock) => lock && work())
      : (work) => work();
    try {
      await alone(() => this.sendAll());
    } finally {
      await this.lookLater();
    }
  }

  /** Whatever became of this try, there is a next one. */
  async lookLater() {
    const waiting = (await store.all("outbox")).filter((entry) => !entry.halted);
    if (!waiting.length) return;
    const soonest = Math.min(...waiting.map((entry) => entry.next_at)) - Date.now();
    // A clock that jumped must not put sending off for hours.
    this.timer = setTimeout(() => this.look(), Math.min(Math.max(soonest, 500), LONGEST_MS));
  }

  async sendAll() {
    for (const entry of await store.all("outbox")) {
      const isDue = entry.next_at <= Date.now() || entry.next_at - Date.now() > LONGEST_MS;
      if (!entry.halted && isDue) await this.sendOne(entry);
    }
  }

  /** @param {OutboxEntry} entry */
  async sendOne(entry) {
    await this.tell(entry.run, { status: "sending" });
    const { run, path } = entry;
    // Beside the account's own clock times, so that a wrong clock can be put right.
    const text = JSON.stringify({ ...entry.account, sent_at: new Date().toISOString() });
    const answer = await post(`/guide/runs/${run}/${path}`, text);
    const found = outcome(answer, entry.tries, { run, path, digest: await digestOf(text) });
    if (found.status === "sent") {
      const { status, line_url } = found.body;
      await store.forget(run, { run, path, status, line_url, at: new Date().toISOString() });
    } else if (found.again) {
      const next_at = Date.now() + found.again;
      await store.keep("outbox", { ...entry, tries: entry.tries + 1, next_at, status: found.status });
    } else {
      // Somebody must read, mend or answer before it can be sent anew.
      await store.keep("outbox", { ...entry, halted: true, status: found.status, detail: found.body });
    }
    await this.tell(entry.run, found);
  }
}
