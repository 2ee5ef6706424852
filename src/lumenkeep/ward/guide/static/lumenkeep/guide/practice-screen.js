// Practice on the screen: a slip thrown in, and the summary at the end.
import { button, h } from "./el.js";
import { openPanel } from "./panel.js";
import { answersFor, summary } from "./practice.js";

/**
 * "The glove touches the bed rail. What now?"
 * @param {Thrown} thrown @param {Run} run @param {(answer: Answer) => unknown} chosen
 */
export function askWhatNow(thrown, run, chosen) {
  const slip = run.bundle.slips[thrown.slip];
  openPanel(slip?.says ?? thrown.slip, (close) => h("div", {},
    h("p", { class: "g-plan" }, "What now?"),
    h("div", { class: "g-choices g-answers" }, answersFor(thrown, run.state, run.bundle).map((answer) =>
      button(answer.says, () => { close(); chosen(answer); })))), { must: true });
}

/** @param {Run} run @param {Controls} ui @returns {GuideScreen} */
export function summaryScreen(run, ui) {
  const node = h("div", { class: "g-rest" },
    h("h1", { tabindex: "-1", id: "step-head" }, "End of the practice"),
    h("p", { class: "g-plan" }, "Nothing of this was charted."),
    h("ul", { class: "g-happened" }, summary(run.state, run.bundle).map((text) => h("li", {}, text))),
    h("div", { class: "g-choices" }, button("Practise again", ui.again), button("All guides on this tablet", ui.leave, { class: "g-act g-quiet" })));
  return { node, tick() {}, heading: "step-head", says: "End of the practice.", commands: {} };
}
