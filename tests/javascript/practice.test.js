// Slips that are thrown in, and what may be answered.
import assert from "node:assert/strict";
import { test } from "node:test";
import { answersFor, thrownNow } from "#guide/practice.js";
import { folded, SCRUBBING } from "./scene.js";

test("practice offers one right answer among others", () => {
  const practice = { seed: 3, slips: [{ step: "scrub", slip: "touched" }] };
  const { state, bundle, t } = folded(SCRUBBING, { practice });

  const thrown = thrownNow(state, bundle, t + 2000);
  const answers = answersFor(thrown, state, bundle);

  assert.deepEqual(thrown, { step: "scrub", slip: "touched" });
  assert.equal(thrownNow(state, bundle, t + 100), null);
  assert.equal(answers.length, 4);
  assert.deepEqual(answers.filter((one) => one.is_right).map((one) => one.says),
    ["Gloves off. Clean the hands. New sterile gloves on."]);
});
