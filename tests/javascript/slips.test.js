// A slip, its way back, and where it leads.
import assert from "node:assert/strict";
import { test } from "node:test";
import { accountOf } from "#guide/account.js";
import { mayBeFinished, mayGoBack } from "#guide/fold-steps.js";
import { leftMs } from "#guide/span.js";
import { fits, followed, lackingNow, rowFor, rowsHere } from "#guide/ways.js";
import { BACK, bundleWith, folded, GLOVES, NEXT, SCRUBBING, SLIPPED, times, way } from "./scene.js";

const WENT_BACK = [...SLIPPED, [500, "way", BACK], ...times(4, NEXT)];
const SAID_FINISHED = "Finished before the slip, and not repeated: Scrub back and forth.";

test("a way back leads to the step that was interrupted", () => {
  const { here, state, t } = folded(WENT_BACK);

  assert.deepEqual([here, leftMs(state.span, t)], ["scrub", 60_000]);
  assert.deepEqual(state.left, { gloves: 0, swab: 3 });
});

const FINISHED = [[500, "way", BACK], ...times(4, NEXT), [500, "was-finished", {}]];

test("a step that was finished before the slip need not be done twice", () => {
  const log = [...SCRUBBING, [60_000, "slip", { slip: "touched" }], ...FINISHED];

  const { here, state, bundle } = folded(log);
  const account = accountOf(bundle, state, "tablet");

  assert.equal(here, "dry");
  assert.equal(account.remarks, SAID_FINISHED);
  assert.deepEqual(account.steps.map((one) => one.id).slice(-5), ["scrub", ...GLOVES]);
});

// The same slip amid the scrub: its swabs are lost, so fresh ones are opened as well.
const AMID = ["say", "gloves-off", "hands", "gloves-on", "hands"];
const TWO_STORIES = {
  ways: {
    ...bundleWith().ways,
    scrub: [{ ...way("touched", GLOVES, "dry", { gloves: 1 }), unfinished: way("touched", AMID, "scrub", { gloves: 1, swab: 3 }) }],
  },
};
const WAY_AMID = { kind: "way-back", acts: AMID, then: "scrub", needs: { gloves: 1, swab: 3 }, is_unfinished: true };
const SAID = [500, "step-was", { finished: true }];

for (const [name, afterMs, said, acts] of [
  ["nothing is said", 10_000, [], AMID],
  // Something still held the step, so it cannot have been finished.
  ["it is said while something held the step", 10_000, [SAID], AMID],
  ["nothing held the step, and nothing is said", 60_000, [], AMID],
  ["nothing held the step, and both say so", 60_000, [SAID], GLOVES],
  ["both say so and take it back", 60_000, [SAID, [500, "step-was", { finished: false }]], AMID],
]) {
  test(`the way is that of an unfinished step unless both say otherwise: ${name}`, () => {
    const { state, bundle } = folded([...SCRUBBING, [afterMs, "slip", { slip: "touched" }], ...said], TWO_STORIES);

    assert.deepEqual(followed(rowFor(state, bundle, "touched"), state.slip).acts, acts);
  });
}

test("the way of an unfinished step leads to that step", () => {
  const { here, state } = folded([...SLIPPED, [500, "way", WAY_AMID], ...times(5, NEXT)], TWO_STORIES);

  assert.deepEqual([here, mayBeFinished(state)], ["scrub", false]);
  assert.deepEqual(state.left, { gloves: 0, swab: 0 });
});

test("the way of a finished step leads past it and says so", () => {
  const log = [...SCRUBBING, [60_000, "slip", { slip: "touched" }], SAID, [500, "way", BACK], ...times(4, NEXT)];

  const { here, state } = folded(log, TWO_STORIES);

  assert.equal(here, "dry");
  assert.deepEqual(state.remarks, [SAID_FINISHED]);
});

test("a slip on the way of an unfinished step is a stop", () => {
  const worked = {
    of: { "scrub/touched": "0" },
    after: {},
    groups: { 0: [[0], [0], [0], [0]] },
    rows: [way("touched", GLOVES, "dry")],
  };

  const { state, bundle } = folded([...SLIPPED, [500, "way", WAY_AMID], NEXT], { ...TWO_STORIES, ways_in_ways: worked });

  assert.deepEqual(rowsHere(state, bundle).map((row) => row.ending), ["stop"]);
});

test("a step that something still held is done anew whatever is pressed", () => {
  const { here, state, t } = folded([...SLIPPED, ...FINISHED]);

  assert.deepEqual([here, mayBeFinished(state)], ["scrub", false]);
  assert.equal(leftMs(state.span, t), 59_500);
});

test("a way back that redid the step goes on after it", () => {
  const redo = { ...BACK, acts: [...GLOVES, "scrub"] };

  assert.equal(folded([...SLIPPED, [500, "way", redo], ...times(5, NEXT)]).here, "dry");
});

test("a way out of a way takes the place of the rest", () => {
  const second = { kind: "way-back", acts: ["say", "scrub"], then: "dry", needs: {} };
  const log = [...SLIPPED, [500, "way", BACK], NEXT, [1000, "slip", { slip: "touched" }], [500, "way", second], NEXT, NEXT];
  const rows = { "scrub/touched": { 1: [{ ...second, slip: "touched", ending: "way-back" }] } };

  const { here, state } = folded(log, { ways_in_ways: rows });

  assert.equal(here, "dry");
  assert.deepEqual(state.slips.map((slip) => slip.ended), ["way-back", "way-back"]);
});

test("a second slip nobody worked out is a stop", () => {
  const { state, bundle } = folded([...SLIPPED, [500, "way", BACK], [1000, "slip", { slip: "touched" }]]);

  const row = rowFor(state, bundle, "touched");

  assert.equal(row.ending, "stop");
  assert.match(row.because, /second slip/);
});

test("a slip pressed by mistake leaves no trace in the account", () => {
  const { state, bundle } = folded([...SLIPPED, [5000, "slip-withdrawn", {}], [50_000, "next", {}]]);

  const account = accountOf(bundle, state, "tablet");

  assert.deepEqual(account.slips, []);
  assert.equal(account.steps.at(-1).seconds, 60);
});

test("a slip that is stopped instead is told as stopped", () => {
  const { state } = folded([...SLIPPED, [500, "stop", { why: "The child is not well." }]]);

  assert.equal(state.span.id, "say");
  assert.equal(state.slip, null);
  assert.deepEqual(state.slips.map((one) => [one.slip, one.ended]), [["touched", "stop"]]);
});

test("a slip in a pause ends the pause", () => {
  const { state } = folded([...SCRUBBING, [9000, "pause", { why: "Comfort." }], [5000, "slip", { slip: "touched" }], [500, "way", BACK]]);

  assert.equal(state.paused, null);
  assert.equal(state.pauses[0].why, "Comfort.");
  assert.equal(state.span.id, "say");
});

test("spares that are gone are named", () => {
  const lacking = ({ state, bundle }) => lackingNow(rowFor(state, bundle, "touched"), state.left);
  const log = [...WENT_BACK, [1000, "slip", { slip: "touched" }]];
  const brought = [0, "brought", { items: { gloves: 1 }, says: "Brought." }];

  assert.deepEqual(lacking(folded(log)), { gloves: 1 });
  assert.deepEqual(lacking(folded([...log, brought])), {});
});

test("no step back goes behind a way back", () => {
  const after = folded([...WENT_BACK, [10, "back", {}]]);
  const before = folded(SCRUBBING);

  assert.deepEqual([mayGoBack(after.state), after.here], [false, "scrub"]);
  assert.deepEqual([mayGoBack(before.state), before.here], [true, "scrub"]);
});

test("a slip is found by first letters or number", () => {
  const { slips } = bundleWith();
  const found = (typed) => Object.keys(slips).filter((id) => fits(slips[id], typed));

  assert.deepEqual(found("glo be"), ["touched"]);
  assert.deepEqual(found("13"), ["returned"]);
  assert.deepEqual(found("love"), []);
  assert.equal(found("").length, 3);
});
