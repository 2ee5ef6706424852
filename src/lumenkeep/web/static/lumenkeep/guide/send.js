// Sends what lies in the outbox, again and again until the server has confirmed it. The
// run's number makes it one entry, however often it arrives.
import * as store from "./store.js";

const WAITS_MS = [1000, 2000, 5000, 10_000, 30_000, 60_000];
const PATIENCE_MS = 20_000;
const LOCK = "lumenkeep-guide-send";

/** Ask the server; null when it cannot be reached. A page of another kind is no answer. */
export async function ask(path, options = {}, patience = PATIENCE_MS) {
  try {
    const answer = await fetch(path, {
      cache: "no-store", credentials: "same-origin", redirect: "error",
      signal: AbortSignal.timeout(patience), ...options,
      headers: { Accept: "application/json", ...options.headers },
    });
    const isJson = answer.headers.get("Content-Type")?.includes("json");
    return { status: answer.status, body: isJson ? await answer.json() : null };
  } catch {
    return null;
  }
}

/** POST with the token that proves that it comes from our own page. */
export async function post(path, body) {
  const token = await ask("/guide/token");
  if (!token || token.status !== 200) return token;
  return ask(path, {
    method: "POST",
    headers: { "Content-Type": "application/json", "X-CSRFToken": token.body.token },
    body: JSON.stringify(body),
  });
}

/** What becomes of an entry in the outbox after an answer. Pure. */
export function outcome(answer, tries) {
  const again = WAITS_MS[Math.min(tries, WAITS_MS.length - 1)];
  if (!answer) return { status: "no-network", again };
  const known = {
    200: { status: "sent" },
    401: { status: "sign-in", again: WAITS_MS.at(-1) },
    403: { status: "not-yours", again: WAITS_MS.at(-1) },
    409: { status: "facts-changed" },
    422: { status: "faulty" },
  }[answer.status];
  const isStale = answer.body?.status === "stale-token";
  // An answer that is not the guide's own (a proxy's page, say) proves nothing.
  if (!known || !answer.body || isStale) return { status: "no-answer", again };
  return { ...known, body: answer.body };
}

export class Outbox {
  constructor(tell) {
    this.tell = tell;
    this.timer = null;
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
    const alone = navigator.locks
      ? (work) => navigator.locks.request(LOCK, { ifAvailable: true }, (lock) => lock && work())
      : (work) => work();
    await alone(() => this.sendAll());
    const waiting = (await store.all("outbox")).filter((entry) => !entry.halted);
    if (!waiting.length) return;
    const soonest = Math.min(...waiting.map((entry) => entry.next_at)) - Date.now();
    // A clock that jumped must not put sending off for hours.
    this.timer = setTimeout(() => this.look(), Math.min(Math.max(soonest, 500), WAITS_MS.at(-1)));
  }

  async sendAll() {
    for (const entry of await store.all("outbox")) {
      const isDue = entry.next_at <= Date.now() || entry.next_at - Date.now() > WAITS_MS.at(-1);
      if (!entry.halted && isDue) await this.sendOne(entry);
    }
  }

  async sendOne(entry) {
    await this.tell(entry.run, { status: "sending" });
    const { path } = entry;
    // Beside the account's own clock times, so that a wrong clock can be put right.
    const body = { ...entry.account, sent_at: new Date().toISOString() };
    const found = outcome(await post(`/guide/runs/${entry.run}/${path}`, body), entry.tries);
    if (found.status === "sent") {
      const receipt = { run: entry.run, at: new Date().toISOString(), path, ...found.body };
      await store.forget(entry.run, receipt);
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
