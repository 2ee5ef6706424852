// Numbers in words, as one colleague says them to another.
import assert from "node:assert/strict";
import { test } from "node:test";
import { lasting, openFor } from "#guide/words.js";
import { bundleWith } from "./scene.js";

test("lasting in words", () => {
  assert.deepEqual([400, 40e3, 60e3, 130e3, 3900e3].map(lasting), ["0 s", "40 s", "1 min", "2 min 10 s", "1 h 05 min"]);
});

test("where only a hub is opened no site is said to be bare", () => {
  const hub = { id: "connector-change", title: "Connector change", resets: [] };

  assert.equal(openFor(bundleWith(), 21_000), "Site bare for 21 s");
  assert.equal(openFor(bundleWith({ procedure: hub }), 21_000), "Hub open for 21 s");
});
