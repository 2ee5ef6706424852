// What is called out, changed and confirmed, and what the account says of it.
import assert from "node:assert/strict";
import { test } from "node:test";
import { accountOf } from "#guide/account.js";
import { faultOf } from "#guide/values.js";
import { bundleWith, folded } from "./scene.js";

test("a change at the review tells first and last value once", () => {
  const edited = (to) => [1, "edit", { field: "length", to, why: "Misheard." }];
  const log = [[0, "begun", {}], [1, "value", { field: "length", value: "40" }], edited("4"), edited("42")];

  const { state, bundle } = folded(log);
  const account = accountOf(bundle, state, "");

  assert.equal(account.values.length, 42);
  assert.deepEqual(account.edits, [{ field: "length", from: "40", to: "42", why: "Misheard." }]);
});

test("what is typed after a confirmation asks for it again", () => {
  const log = [[0, "begun", {}], [1, "confirm", { person: "s-1" }]];
  const more = [1, "value", { field: "outcome", value: "x" }];

  assert.equal(folded(log).state.confirmed.length, 1);
  assert.deepEqual(folded([...log, more]).state.confirmed, []);
});

for (const [typed, isWrong] of [["42", false], ["42,5", false], ["", false], ["4o", true], ["-1", true], ["601", true]]) {
  test(`a number that cannot be is said: "${typed}" is ${isWrong ? "wrong" : "well"}`, () => {
    assert.equal(Boolean(faultOf(bundleWith().entry.fields[0], typed)), isWrong);
  });
}
