// One run on this tablet: its bundle, its log, its clock. Every change is an event that is
// on disk before the screen shows it.
import { Clock, offMs } from "./clock.js";
import { accountOf } from "./account.js";
import { advance, fold } from "./fold.js";
import { missing, note, settle } from "./unwritten.js";
import * as store from "./store.js";

// So that a tablet that dies comes back at the same second of the same step.
const KEEP_EVERY_MS = 150;

/**
 * Hold a run for this window alone; false when another window has it.
 * @param {string} run @returns {Promise<boolean>}
 */
function holdAlone(run) {
  if (!navigator.locks) return Promise.resolve(true);
  return new Promise((resolve) => {
    navigator.locks.request(`lumenkeep-run:${run}`, { ifAvailable: true }, (lock) => {
      resolve(lock !== null);
      // Held until the window goes; a browser that is killed lets go by itself.
      return lock && new Promise(() => {});
    });
  });
}

/** @param {string} id @param {(type: Told) => unknown} show */
export async function openRun(id, show) {
  const [kept, events, pulse] = await Promise.all([store.one("runs", id), store.eventsOf(id), store.one("pulses", id)]);
  if (!kept) return "missing";
  if (!(await holdAlone(id))) return "elsewhere";
  for (const event of missing(id, events)) {
    events.push(await store.append(event));
    settle(event);
  }
  const run = new Run(kept.bundle, events, pulse, show);
  await run.comeBack(pulse);
  return run;
}

export class Run {
  /**
   * @param {Bundle} bundle
   * @param {LogEvent[]} events
   * @param {Pulse | undefined} pulse
   * @param {(type: Told) => unknown} show
   */
  constructor(bundle, events, pulse, show) {
    this.bundle = bundle;
    this.state = fold(bundle, events);
    this.show = show;
    this.held_t = Math.max(pulse?.t ?? 0, this.state.last_t);
    this.clock = new Clock(this.held_t + (pulse ? offMs(pulse, Date.now()) : 0));
    this.tail = /** @type {Promise<unknown>} */ (Promise.resolve());
    this.isPulsing = false;
    this.pulsed_t = -Infinity;
  }

  get isUnderWay() {
    return this.state.phase === "steps";
  }

  /**
   * After a reload, a crash or a flat battery: say how long, and count none of it.
   * @param {Pulse | undefined} pulse
   */
  async comeBack(pulse) {
    if (!this.isUnderWay || !pulse) return;
    const held_at = new Date(pulse.wall).toISOString();
    await this.add("off", { held_t: this.held_t, held_at, ms: offMs(pulse, Date.now()) });
  }

  /**
   * Add an event. They go to disk one after the other, in the order they were made.
   * @template {EventType} K
   * @param {K} type @param {EventData[K]} [data]
   */
  add(type, data) {
    const event = /** @type {LogEvent} */ (/** @type {unknown} */ ({ run: this.bundle.run, at: this.clock.at(), t: this.clock.t(), type, ...data }));
    note(event);
    return this.inTurn(async () => {
      await store.append(event).finally(() => settle(event));
      this.state = advance(this.state, event, this.bundle);
      await this.show(type);
    });
  }

  /**
   * One after the other. What cannot be kept is said, and the screen stays where it was.
   * @param {() => Promise<unknown>} work
   */
  inTurn(work) {
    this.tail = this.tail.then(work).catch(() => this.show("not-kept"));
    return this.tail;
  }

  /**
   * Take the ways back that were still being worked out; never once a step has begun.
   * @param {Bundle} fresh
   */
  renew(fresh) {
    return this.inTurn(async () => {
      if (this.state.phase !== "ready") return;
      const { acts, ways, ways_in_ways } = fresh;
      const bundle = { ...this.bundle, acts, ways, ways_in_ways, more_ways: false };
      await store.keep("runs", { run: bundle.run, bundle, kept_at: this.clock.at() });
      this.bundle = bundle;
    });
  }

  /** Put the account in the outbox, together with the event that says so. */
  async send() {
    const tablet = await store.tabletId();
    return this.enqueue("account", () => accountOf(this.bundle, this.state, tablet), { type: "queued" });
  }

  /** @param {string} why */
  giveUp(why) {
    return this.enqueue("give-up", () => ({ reason: why }), { type: "given-up", why });
  }

  /**
   * @param {string} path
   * @param {() => object} account
   * @param {{ type: "queued" } | { type: "given-up", why: string }} what
   */
  enqueue(path, account, what) {
    return this.inTurn(async () => {
      const { run } = this.bundle;
      const event = { run, at: this.clock.at(), t: this.clock.t(), ...what };
      await store.enqueue({ run, path, account: account(), tries: 0, next_at: 0, status: "waiting", detail: null }, event);
      this.state = advance(this.state, event, this.bundle);
      await this.show(what.type);
    });
  }

  /** Keep how far the time has come; tell what the clock found. */
  async beat() {
    const found = this.clock.beat();
    if (!this.isUnderWay) return;
    if (found.silent) {
      const held_at = new Date(Date.now() - found.silent).toISOString();
      await this.add("off", { held_t: found.heard_t, held_at, ms: found.silent });
    }
    if (found.jump) await this.add("jump", { seconds: found.jump });
    const t = this.clock.t();
    if (this.isPulsing || t - this.pulsed_t < KEEP_EVERY_MS) return;
    this.isPulsing = true;
    this.pulsed_t = t;
    // A mark that fails costs a fraction of a second; an event that fails is said.
    await store.pulse(this.bundle.run, t, Date.now()).catch(() => {});
    this.isPulsing = false;
  }
}
