// What a key means, by what has the focus.
import assert from "node:assert/strict";
import { test } from "node:test";
import { commandOf } from "#guide/commands.js";

for (const [key, tag, type, command] of [
  [" ", "H1", "", "next"],
  ["ArrowRight", "BODY", "", "next"],
  ["PageDown", "TEXTAREA", "", "next"],
  ["PageUp", "INPUT", "text", "back"],
  [" ", "BUTTON", "", null],
  ["ArrowRight", "BUTTON", "", "next"],
  ["s", "INPUT", "text", null],
  ["s", "INPUT", "radio", "slip"],
  [" ", "INPUT", "radio", null],
  ["1", "H1", "", "yes"],
  ["2", "H1", "", "no"],
  ["x", "H1", "", null],
]) {
  test(`a key means what it should: "${key}" at ${tag} ${type}`, () => {
    assert.equal(commandOf(key, tag, type), command);
  });
}
