// Which ways back count after a slip: the step's own only where all is settled again.
import assert from "node:assert/strict";
import { test } from "node:test";
import { rowFor } from "#guide/ways.js";
import { BACK, bundleWith, folded, GLOVES, NEXT, SLIPPED, times, way } from "./scene.js";

const LATER = "After the last way back, hands, line or field are not yet";
const FIRST = [...SLIPPED, [500, "way", BACK]];
const WORKED = { ...way("touched", ["say", "hands"], "cover"), steady: "cover" };
const TABLE = {
  of: { "scrub/touched": 0 },
  groups: [{ 1: [0] }],
  after: [{ dry: [0] }],
  rows: [WORKED],
};

/** The small bundle's ways, the first slip settled from a step on. */
function waysWith(steady) {
  const row = { ...way("touched", GLOVES, "dry", { gloves: 1 }), steady };
  const other = way("touched", ["say"], "cover");
  return { ...bundleWith().ways, scrub: [row], dry: [other], cover: [other] };
}

/** Where the run stands, and the row of the slip there. */
function look(log, steady, table = TABLE) {
  const { here, state, bundle } = folded(log, { ways: waysWith(steady), ways_in_ways: table });
  return { here, row: rowFor(state, bundle, "touched") };
}

test("during a way back the row of its act counts", () => {
  const { row } = look([...FIRST, NEXT], "cover");

  assert.deepEqual([row.ending, row.acts], ["way-back", ["say", "hands"]]);
});

test("an act without a row is a stop", () => {
  assert.equal(look([...FIRST, NEXT, NEXT], "cover").row.ending, "stop");
});

test("a step that is settled has its own ways", () => {
  const { here, row } = look([...FIRST, ...times(5, NEXT)], "dry");

  assert.deepEqual([here, row.acts, row.ending], ["dry", ["say"], "way-back"]);
});

test("until then the ways worked out for it count", () => {
  const { here, row } = look([...FIRST, ...times(5, NEXT)], "cover");

  assert.deepEqual([here, row.acts], ["dry", ["say", "hands"]]);
});

for (const [nexts, steady, place] of [[5, null, "dry"], [4, "cover", "scrub"]]) {
  test(`where none was worked out it is a stop: at ${place}`, () => {
    const { here, row } = look([...FIRST, ...times(nexts, NEXT)], steady, { ...TABLE, after: [{}] });

    assert.deepEqual([here, row.ending], [place, "stop"]);
    assert.ok(row.because.startsWith(LATER), row.because);
  });
}

test("its own step done anew counts as settled if nothing else is", () => {
  const { here, row } = look([...FIRST, ...times(4, NEXT)], "dry");

  assert.deepEqual([here, row.acts], ["scrub", GLOVES]);
});

for (const [steady, ending] of [["cover", "way-back"], [null, "stop"]]) {
  test(`after a second way back only a settled step has its ways: ${ending}`, () => {
    const second = { kind: "way-back", acts: ["say", "hands"], then: "cover" };
    const log = [...FIRST, ...times(5, NEXT), [1000, "slip", { slip: "touched" }], [500, "way", second], ...times(3, NEXT)];

    const { here, row } = look(log, null, { ...TABLE, rows: [{ ...WORKED, steady }] });

    assert.deepEqual([here, row.ending], ["cover", ending]);
  });
}
