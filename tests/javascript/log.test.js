// A log cut anywhere and gone on with comes to the same.
import assert from "node:assert/strict";
import { test } from "node:test";
import { advance, fold } from "#guide/fold.js";
import { bundleWith } from "./scene.js";

const KINDS = ["next", "next", "next", "back", "look", "early", "value", "slip", "way",
  "slip-withdrawn", "pause", "resume", "off", "go-on", "jump", "stop", "brought", "facts", "queued"];

/** Numbers below n, the same in every run. */
function chances(seed) {
  let last = seed;
  return (n) => {
    last = (last * 48271) % 2147483647;
    return last % n;
  };
}

const dataOf = (type, t, chance) => ({
  look: { answer: chance(2) ? "yes" : "no" },
  early: { reason: "x" },
  value: { field: "length", value: String(chance(90)) },
  slip: { slip: "touched" },
  off: { held_t: t - chance(900), held_at: "", ms: 5 },
  way: { kind: "way-back", acts: ["say", "hands"], then: "dry", needs: { gloves: 1 } },
  stop: { why: "x" },
  brought: { items: { gloves: 1 }, says: "x" },
  facts: { mark: "n", changed: [] },
  jump: { seconds: 9 },
  pause: { why: "x" },
})[type] ?? {};

/** A log of sixty events in any order, and when it ends. */
function anyLog(chance) {
  const log = [{ run: "r", at: "a", t: 0, type: "begun" }];
  let t = 0;
  for (let i = 0; i < 60; i += 1) {
    t += 1 + chance(9000);
    const type = KINDS[chance(KINDS.length)];
    log.push({ run: "r", at: `a${i}`, t, type, ...dataOf(type, t, chance) });
  }
  return { log, ends: t };
}

test("a log cut anywhere and gone on with comes to the same", () => {
  const chance = chances(7);
  const bundle = bundleWith();
  for (let trial = 0; trial < 300; trial += 1) {
    const { log, ends } = anyLog(chance);
    const whole = fold(bundle, log);
    const cut = chance(log.length);

    const again = log.slice(cut).reduce((one, event) => advance(one, event, bundle), fold(bundle, log.slice(0, cut)));

    const passed = whole.done.reduce((sum, one) => sum + one.seconds * 1000, 0);
    assert.equal(JSON.stringify(again), JSON.stringify(whole), `${trial}: differs`);
    assert.ok(passed <= ends + 60 * 50, `${trial}: more counted than passed`);
    assert.ok(whole.bare_ms <= ends, `${trial}: bare longer than it took`);
    assert.ok(Object.values(whole.left).every((count) => count >= 0), `${trial}: less than no spares`);
  }
});
