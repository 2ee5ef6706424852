// The run's own axis of time (ms since the run began), from performance.now(). The wall
// clock is only written beside it; when it jumps, that is told, and no timer moves.

const JUMP_MS = 2000;
// A browser may call a hidden page no more than once a minute; a longer silence means that
// nothing ran here, and the safe side is not to count it.
const SILENCE_MS = 90_000;

export class Clock {
  /** @param {number} t0 @param {{ steady?: () => number, wall?: () => number }} [clocks] */
  constructor(t0, { steady = () => performance.now(), wall = () => Date.now() } = {}) {
    this.steady = steady;
    this.wall = wall;
    this.base = t0 - steady();
    this.offset = wall() - steady();
    this.lastBeat = steady();
  }

  t() {
    return this.base + this.steady();
  }

  at() {
    return new Date(this.wall()).toISOString();
  }

  /** What a beat finds: `jump` in seconds, `silent` in ms; both 0 as a rule. */
  beat() {
    const now = this.steady();
    const silence = now - this.lastBeat;
    const jump = this.wall() - now - this.offset;
    const found = {
      jump: Math.abs(jump) >= JUMP_MS ? Math.round(jump / 1000) : 0,
      silent: silence > SILENCE_MS ? silence : 0,
      heard_t: this.base + this.lastBeat,
    };
    if (found.jump) this.offset += jump;
    this.lastBeat = now;
    return found;
  }
}

/**
 * How long the tablet was off, in ms: never less than nothing, whatever its clock says.
 * @param {Pulse} pulse @param {number} wallNow
 */
export const offMs = (pulse, wallNow) => Math.max(0, wallNow - pulse.wall);
