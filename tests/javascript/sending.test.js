// An answer is believed only if it is the guide's own.
import assert from "node:assert/strict";
import { test } from "node:test";
import { outcome } from "#guide/send.js";

const SENT = { run: "r-1", path: "account", digest: "d1" };
const RECEIPT = { status: "written", run: "r-1", acknowledges: "d1", entries: [7], line_url: "/line/l-1/" };
const receiptWith = (more) => ({ status: 200, body: { ...RECEIPT, ...more } });

for (const [answer, status, goesAgain] of [
  [null, "no-network", true],
  [receiptWith({}), "sent", false],
  [receiptWith({ status: "kept-beside" }), "sent", false],
  [receiptWith({ run: "r-9" }), "no-answer", true],
  [receiptWith({ acknowledges: "d9" }), "no-answer", true],
  [receiptWith({ entries: [] }), "no-answer", true],
  [receiptWith({ entries: 7 }), "no-answer", true],
  [receiptWith({ status: "ok" }), "no-answer", true],
  [{ status: 200, body: { status: "written" } }, "no-answer", true],
  [{ status: 201, body: RECEIPT }, "no-answer", true],
  [{ status: 200, body: null }, "no-answer", true],
  [{ status: 502, body: null }, "no-answer", true],
  [{ status: 503, body: { status: "faulty" } }, "no-answer", true],
  [{ status: 401, body: { status: "sign-in" } }, "sign-in", true],
  [{ status: 403, body: { status: "not-yours" } }, "not-yours", true],
  [{ status: 403, body: { status: "stale-token" } }, "no-answer", true],
  [{ status: 409, body: { changed: [], mark: "m" } }, "facts-changed", false],
  [{ status: 409, body: { changed: [] } }, "no-answer", true],
  [{ status: 422, body: { faults: [] } }, "faulty", false],
  [{ status: 422, body: { status: "not-json" } }, "no-answer", true],
]) {
  test(`an answer is believed only if it is the guide's own: ${JSON.stringify(answer)} is ${status}`, () => {
    const found = outcome(answer, 0, SENT);

    assert.equal(found.status, status);
    assert.equal(Boolean(found.again), goesAgain);
  });
}
