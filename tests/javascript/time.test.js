// What is counted as time, and what is not.
import assert from "node:assert/strict";
import { test } from "node:test";
import { Clock } from "#guide/clock.js";
import { bareMs } from "#guide/fold.js";
import { holds } from "#guide/holds.js";
import { leftMs, passedMs } from "#guide/span.js";
import { bundleWith, folded, SCRUBBING, steps } from "./scene.js";

test("a step counts its own seconds", () => {
  const { done } = folded(steps(2, 2500)).state;

  assert.deepEqual(done.map((one) => [one.id, one.seconds]), [["plan", 2.5], ["measure", 2.5]]);
});

test("a pause gives a timed step nothing", () => {
  const log = [...SCRUBBING, [10_000, "pause", { why: "Comfort." }], [60_000, "resume", {}]];

  const { state, t } = folded(log);

  assert.equal(leftMs(state.span, t + 5000), 45_000);
});

test("time while the tablet was off is not counted", () => {
  const off = { held_t: 15_000, held_at: "2026-11-25T10:00:00Z", ms: 600_000 };
  const log = [...SCRUBBING, [610_000, "off", off]];

  const { state, t } = folded(log);
  const wentOn = folded([...log, [5000, "go-on", {}], [3000, "jump", { seconds: 5 }]]);

  assert.equal(passedMs(state.span, t + 9000), 10_000);
  assert.equal(state.off.ms, 600_000);
  assert.equal(state.pauses[0].why, "The tablet was off.");
  assert.equal(passedMs(wentOn.state.span, wentOn.t), 13_000);
});

test("bare time goes on through pause and crash", () => {
  const { state, bundle, t } = folded([...steps(2), [0, "pause", { why: "x" }], [60_000, "resume", {}]]);

  assert.equal(bareMs(state, bundle, t + 5000), 65_000);
});

test("a wall clock that jumps moves nothing and is told", () => {
  const { state, t } = folded([...SCRUBBING, [10_000, "jump", { seconds: 3600 }]]);

  assert.equal(passedMs(state.span, t), 10_000);
  assert.equal(state.jumps[0].seconds, 3600);
});

test("the clock finds jumps and silences", () => {
  let steady = 0;
  let wall = 1e12;
  const clock = new Clock(5000, { steady: () => steady, wall: () => wall });
  const pass = (ms, jump = 0) => {
    steady += ms;
    wall += ms + jump;
    return clock.beat();
  };

  const beats = [pass(200), pass(200, 3600e3), pass(200), pass(61_000), pass(95_000), pass(200, -7200e3)];

  assert.deepEqual(beats.map((beat) => beat.jump), [0, 3600, 0, 0, 0, -7200]);
  assert.deepEqual(beats.map((beat) => beat.silent), [0, 0, 0, 0, 95_000, 0]);
  assert.equal(clock.t(), 5000 + 4 * 200 + 61_000 + 95_000);
});

/** What holds the step so many ms after the log's last event. */
function kinds(log, after = 0) {
  const { state, bundle, t } = folded(log);
  return holds(state, bundle, t + after).map((hold) => hold.kind);
}

test("the dry look ends only by clock and look", () => {
  const waiting = [...SCRUBBING, [60_000, "next", {}]];
  const wet = [...waiting, [31_000, "look", { answer: "no" }]];
  const dry = [...wet, [31_000, "look", { answer: "yes" }]];

  assert.deepEqual(kinds(waiting, 29_000), ["time", "look"]);
  assert.deepEqual(kinds(waiting, 31_000), ["look"]);
  assert.deepEqual(kinds(wet, 29_000), ["time", "look"]);
  assert.deepEqual(kinds(wet, 31_000), ["look"]);
  assert.deepEqual(kinds(dry), []);
});

test("a look of its own that says wet goes back to the wait", () => {
  const made = bundleWith().steps;
  const look = { ...made[6], id: "look", seconds: null, timer: null };
  const wait = { ...made[6], look: null };
  const log = [...SCRUBBING, [60_000, "next", {}], [30_000, "next", {}], [1000, "look", { answer: "no" }]];

  const { here, state, t } = folded(log, { steps: [...made.slice(0, 6), wait, look, ...made.slice(7)] });

  assert.equal(here, "dry");
  assert.equal(leftMs(state.span, t), 30_000);
});

test("early needs a reason and leaves the look", () => {
  const log = [...SCRUBBING, [60_000, "next", {}], [5000, "early", { reason: "Danger." }]];

  assert.deepEqual(kinds(log), ["look"]);
  assert.equal(folded([...log, [0, "next", {}]]).state.done.at(-1).early, "Danger.");
});

test("a step back and on again keeps the time of both", () => {
  const log = [...SCRUBBING, [60_000, "next", {}], [4000, "back", {}]];

  const back = folded(log);
  const on = folded([...log, [5000, "next", {}]]);
  const done = on.state.done.at(-1);

  assert.deepEqual([back.state.span.id, leftMs(back.state.span, back.t)], ["scrub", 0]);
  assert.deepEqual([on.state.span.id, passedMs(on.state.span, on.t + 1000)], ["dry", 5000]);
  assert.deepEqual([done.id, done.seconds], ["scrub", 65]);
});
