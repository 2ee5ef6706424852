// When the child's chart is asked for what is new: before the first step, and where it
// still changes the work.
import { hearFacts } from "./facts.js";
import { doingNow } from "./place.js";

/** @param {Pick<Parts, "run">} parts */
export function factsController({ run }) {
  /** @type {number | null} */
  let askedFor = null; // when the step began for which it was asked last

  async function ask() {
    const heard = await hearFacts(run.bundle, run.state.facts.mark);
    if (["ready", "steps"].includes(run.state.phase)) await run.add("facts", heard);
  }

  async function askAtStep() {
    const { span } = run.state;
    const doing = doingNow(run.state, run.bundle);
    if (!doing?.checks_facts || !span || span.facts || askedFor === span.began_t) return;
    askedFor = span.began_t;
    await ask();
  }

  return { ask, askAtStep };
}
