// In practice: slips happen by themselves, and the end leads to another one.
import { isPanelOpen } from "./panel.js";
import { askWhatNow } from "./practice-screen.js";
import { thrownNow } from "./practice.js";
import * as store from "./store.js";

/** @param {Pick<Parts, "run">} parts */
export function practiceController({ run }) {
  function beat() {
    if (!run.bundle.practice || isPanelOpen() || run.state.off || run.state.paused) return;
    const thrown = thrownNow(run.state, run.bundle, run.clock.t());
    if (thrown) askWhatNow(thrown, run, (answer) => pick(thrown, answer));
  }

  /** @param {Thrown} thrown @param {Answer} answer */
  async function pick(thrown, answer) {
    await run.add("picked", { ...thrown, is_right: answer.is_right, chose: answer.says });
    await run.add("slip", { slip: thrown.slip });
  }

  /**
   * Take the practice off this tablet and go elsewhere.
   * @param {string} hash
   */
  async function leaveFor(hash) {
    await store.forget(run.bundle.run);
    location.hash = hash;
  }

  return { beat, controls: { again: () => leaveFor("#practice"), leave: () => leaveFor("") } };
}
