// The time of a step as a bar of sand: it fills from the left, a mark for each second or
// so below it, and the words beside it say the same.
import { h, svg } from "./el.js";
import { lasting } from "./words.js";

const WIDEST_S = 300;
const STEPS_S = [1, 5, 10, 30, 60, WIDEST_S];
const MOST_MARKS = 20;
const DEPTH = 52;

/** @param {number} seconds @param {string} label */
export function sand(seconds, label) {
  const every = STEPS_S.find((step) => seconds / step <= MOST_MARKS) ?? WIDEST_S;
  const marks = [];
  for (let at = every; at < seconds; at += every) {
    const x = `${(100 * at) / seconds}%`;
    marks.push(svg("line", { class: "g-mark", x1: x, x2: x, y1: DEPTH, y2: DEPTH + 8 }));
  }
  const heap = svg("rect", { class: "g-heap", width: "0%", height: DEPTH });
  const grains = svg("rect", { class: "g-grains", width: "0%", height: DEPTH, fill: "url(#g-grains)" });
  const slope = svg("svg", { class: "g-slope", x: "0%", overflow: "visible" }, svg("path", { d: `M0 0L18 ${DEPTH}H0Z` }));
  const words = h("p", { class: "g-time-words" });
  const node = h("div", { class: "g-time", role: "timer", "aria-label": label },
    svg("svg", { class: "g-sand", "aria-hidden": "true", width: "100%", height: DEPTH + 9 },
      svg("defs", {}, svg("pattern", { id: "g-grains", width: 12, height: 12, patternUnits: "userSpaceOnUse" },
        svg("circle", { cx: 3, cy: 3, r: 1.3 }), svg("circle", { cx: 9, cy: 8, r: 1.3 }))),
      svg("rect", { class: "g-bed", width: "100%", height: DEPTH, rx: 6 }),
      heap, grains, slope, marks,
      svg("line", { class: "g-mark", x1: "100%", x2: "100%", y1: DEPTH, y2: DEPTH + 8 })),
    words);

  /** @param {number} passedMs @param {string | null} note */
  function show(passedMs, note) {
    const part = Math.min(1, Math.max(0, passedMs / (seconds * 1000)));
    const width = `${(100 * part).toFixed(2)}%`;
    heap.setAttribute("width", width);
    grains.setAttribute("width", width);
    slope.setAttribute("x", width);
    slope.toggleAttribute("hidden", part === 0 || part === 1);
    node.classList.toggle("is-over", part === 1);
    const passed = Math.min(seconds, Math.floor(passedMs / 1000));
    const text = part < 1 ? `${passed} of ${seconds} s` : `${seconds} s are over`;
    const over = part === 1 && passedMs >= seconds * 1000 + 1000 ? `, ${lasting(passedMs - seconds * 1000)} more` : "";
    words.replaceChildren(h("b", {}, text + over), note ? h("span", {}, note) : "");
  }
  return { node, show };
}
