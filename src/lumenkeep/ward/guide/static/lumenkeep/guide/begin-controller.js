// Beginning a run: is everything there, and is it known where the line is not to be used?
import { button, h } from "./el.js";
import { mustBeKnown } from "./holds.js";
import { askKnown } from "./known.js";
import { openPanel } from "./panel.js";

/** @param {Pick<Parts, "run">} parts */
export function beginController({ run }) {
  /** @type {Set<number>} */
  const ticked = new Set(); // places in the list of what lies ready

  /** @param {string[]} [unticked] @returns {void} */
  function begin(unticked = []) {
    if (mustBeKnown(run.state, run.bundle).length) return askKnown(run, () => begin(unticked));
    return beginTicked(unticked);
  }

  /** @param {string[]} unticked */
  function beginTicked(unticked) {
    const add = () => run.add("begun", { unticked });
    if (!unticked.length) add();
    else {
      openPanel("Not everything is ticked", (close) => h("div", {},
        h("ul", { class: "g-happened" }, unticked.map((name) => h("li", {}, name))),
        h("p", {}, "Nothing can be fetched later. Begun like this, it is charted that these were not ticked."),
        button("Begin all the same", () => { close(); add(); })), { closes: "Back to the list" });
    }
  }

  return { ticked, begin };
}
