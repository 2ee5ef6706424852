// A small change at the bedside, and a log of it folded to what is so.
import { readFileSync } from "node:fs";
import { fold } from "#guide/fold.js";

const TEXT = readFileSync(new URL("../fakes/guide_bundle.json", import.meta.url), "utf8");

/** The small bundle that the tests in a browser use too; `more` replaces its parts. */
export const bundleWith = (more = {}) => ({ ...JSON.parse(TEXT), ...more });

/** One way back; without a step to go back to it is the stop. */
export const way = (slip, acts, then, needs = {}) => ({
  slip,
  ending: then ? "way-back" : "stop",
  acts,
  then,
  lacking: {},
  needs,
  cost: then ? { bare_s: 20, pieces: Object.keys(needs).length, acts: acts.length } : null,
  stands: then ? [{ step: "measure", because: "The number stands." }] : [],
  because: "",
});

/** Fold a log of [ms after the one before, type, data] over the bundle. */
export function folded(log = [], more = {}) {
  const bundle = bundleWith(more);
  let t = 0;
  const events = log.map(([after, type, data]) => {
    t += after;
    return { run: "r", at: new Date(1e12 + t).toISOString(), t, type, ...data };
  });
  const state = fold(bundle, events);
  return { bundle, events, state, t, here: bundle.steps[state.at]?.id };
}

export const times = (count, event) => Array(count).fill(event);
export const NEXT = [1000, "next", {}];

/** A log that has begun and gone on so many times. */
export const steps = (count, each = 1000) => [[0, "begun", {}], ...times(count, [each, "next", {}])];

export const SCRUBBING = steps(5);
export const SLIPPED = [...SCRUBBING, [10_000, "slip", { slip: "touched" }]];
export const GLOVES = ["say", "gloves-off", "hands", "gloves-on"];
export const BACK = { kind: "way-back", acts: GLOVES, then: "dry", needs: { gloves: 1 } };
