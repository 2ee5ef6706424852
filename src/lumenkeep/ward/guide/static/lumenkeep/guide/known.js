// A line that is not to be used: whoever goes on says that she knows, and why.
import { heldList } from "./band-view.js";
import { h } from "./el.js";
import { askReason } from "./panel.js";

const ONLY_DRESSED = "Nothing goes through the line: it is only dressed.";
const KNOWN = ["The prescriber knows, and wants it done.", "This is done to mend it."];

/** @param {Run} run @param {() => unknown} then */
export function askKnown(run, then) {
  const says = h("span", {}, heldList(run.state.do_not_use), "To go on, say that you know, and why. It is charted.");
  const reasons = run.bundle.steps.some((step) => step.opens_line) ? KNOWN : [ONLY_DRESSED, ...KNOWN];
  askReason("Do not use the line", says, reasons, async (why) => {
    await run.add("hold-known", { why });
    then();
  });
}
