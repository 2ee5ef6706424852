// What becomes of an account on its way to the chart: how it stands, and what comes back.
import { sentScreen } from "./rest-screens.js";
import * as store from "./store.js";

/** @param {Parts} parts */
export function sendingController({ run, view, shell }) {
  /** @type {Sending} */
  let sending = { status: "waiting" };

  /** @param {Sending} found */
  async function heard(found) {
    sending = found;
    if (found.status === "sent") {
      shell.show(sentScreen(/** @type {Receipt} */ (await store.one("receipts", run.bundle.run))));
      return;
    }
    await takeBack();
    if (["waiting", "given-up"].includes(run.state.phase)) view.draw({ keepFocus: true });
  }

  /** What the chart refused comes back to the review, with what is wrong at its field. */
  async function takeBack() {
    const entry = await store.one("outbox", run.bundle.run);
    if (!entry?.halted || run.state.phase !== "waiting") return;
    await store.remove("outbox", run.bundle.run);
    if (entry.status === "faulty") await run.add("faults", { faults: entry.detail.faults });
    else await run.add("facts-changed", { mark: entry.detail.mark, changed: entry.detail.changed });
  }

  return { heard, takeBack, controls: { sending: () => sending, hurry: () => shell.outbox.hurry() } };
}
