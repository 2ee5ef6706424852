// The screen of one step or act: two halves, the time, what comes next, three controls.
import { heldBox } from "./band-view.js";
import { button, find, focused, h } from "./el.js";
import { fieldControl } from "./field-view.js";
import { bareMs } from "./fold.js";
import { mayBeFinished, mayGoBack } from "./fold-steps.js";
import { halves } from "./halves-view.js";
import { holds, stepFields } from "./holds.js";
import { comesNext, doingNow } from "./place.js";
import { lengthBox } from "./length-view.js";
import { planPart } from "./plan-view.js";
import { sand } from "./sand-view.js";
import { leftMs, passedMs } from "./span.js";
import { keyOf, turnedPlans, turnsSeen, turnsToRead } from "./turns.js";
import { clockTime, openFor, who } from "./words.js";

/** @param {Run} run @param {Controls} ui */
export function stepScreen(run, ui) {
  const { state, bundle } = run;
  const doing = /** @type {Step} */ (doingNow(state, bundle));
  const head = headOf(state, bundle);
  const time = doing.seconds || doing.timer ? sandOf(state, doing) : null;
  const look = doing.look ? lookAsked(doing.look, ui) : null;
  const following = comesNext(state, bundle);
  const next = h("button", { type: "button", class: "g-next", id: "next", onclick: ui.next },
    h("b", {}, following ? "Next" : endWord(state)), h("span", { class: "g-held" }));
  const bare = h("span", { class: "g-bare" });
  /** @type {Part[]} */
  const boxes = [];
  const fields = h("div", { class: "g-fields" }, calledOut(doing),
    stepFields(doing, bundle, state).map((field) => {
      const control = fieldControl(field, state.values[field.field], (value, again) => ui.value(field.field, value, again));
      if (!field.card) return control;
      const box = lengthBox(field, run, ui);
      boxes.push(box);
      return [control, box.node];
    }));
  const drawn = namesOf(stepFields(doing, bundle, state));
  const turned = keysOf(turnsToRead(state, bundle));
  const more = doing.charted?.length ? fields : null;

  const node = h("div", { class: `g-step${state.way ? ` is-way is-${state.way.kind}` : ""}` },
    h("div", { class: "g-line" }, h("h1", { tabindex: "-1", id: "step-head" }, head.title), bare),
    state.way ? wayLine(state, bundle) : null,
    mayBeFinished(state) ? anewLine(state, bundle, ui) : null,
    factsLine(run, doing, ui),
    turnedBox(state, bundle, doing, ui),
    doing.opens_line ? heldBox(state) : null,
    halves(doing, bundle, more, planPart(doing, bundle, state)),
    h("details", { class: "g-why" }, h("summary", {}, "Why"),
      h("p", {}, doing.because ?? "", doing.source ? h("span", { class: "soft" }, ` Source: ${doing.source}.`) : null)));
  // Time and look stand at the foot, in sight and in reach however much there is to read.
  const clock = time || look ? h("div", { class: "g-clock" }, time?.node, look?.node) : null;
  const foot = h("div", {}, clock, h("div", { class: "g-foot" },
    h("button", { type: "button", class: "g-slip", id: "slip", onclick: ui.slip }, h("b", {}, "Slip"), h("span", {}, "something went wrong")),
    h("div", { class: "g-ahead" },
      h("p", {}, h("span", { class: "soft" }, "Then "), following ? [h("b", {}, who(following.actor)), `: ${brief(following)}`] : endSays(state)),
      h("button", { type: "button", class: "g-back", id: "back", onclick: ui.back, "aria-disabled": !mayGoBack(state) && "true" }, "Back")),
    next));

  /** @type {number | null} */
  let wasLeft = null;
  /** @param {number} t */
  function tick(t) {
    const span = run.state.span;
    if (!span) return;
    const now = holds(run.state, bundle, t);
    const left = leftMs(span, t);
    time?.show(passedMs(span, t), span.early ? `going on early: ${span.early}` : null);
    bare.textContent = bareWords(run.state, bundle, t);
    next.setAttribute("aria-disabled", String(now.length > 0));
    find(".g-held", next).textContent = heldWords(now);
    look?.allow(left === 0);
    for (const box of boxes) box.tick();
    const isTyping = focused()?.tagName === "INPUT" && focused()?.type === "text";
    if (boxes.length && !isTyping && namesOf(stepFields(doing, bundle, run.state)) !== drawn) ui.redraw();
    else if (keysOf(turnsToRead(run.state, bundle)) !== turned) ui.redraw();
    if (wasLeft !== null && wasLeft > 0 && left === 0 && !span.early) ui.timeIsOver(doing);
    wasLeft = left;
  }
  tick(run.clock.t());
  const says = [head.title, spoken(doing, "operator"), spoken(doing, "assistant")].filter(Boolean).join(" ");
  return { node, foot, tick, says, heading: "step-head",
    commands: { next: ui.next, back: ui.back, slip: ui.slip, pause: ui.pause, yes: () => ui.look("yes"), no: () => ui.look("no") } };
}

/** @param {Field[]} fields */
const namesOf = (fields) => fields.map((field) => field.field).join(" ");
/** @param {Turn[]} turns */
const keysOf = (turns) => turns.map(keyOf).join(" ");
// The steps that put on what a sign may bar.
const PUTS_ON = new Set(["scrub", "dressing"]);

/**
 * What was found makes the plan another one: said at once, and where it would be put on.
 * @param {RunState} state @param {Bundle} bundle @param {Step} doing @param {Controls} ui
 */
function turnedBox(state, bundle, doing, ui) {
  const unread = turnsToRead(state, bundle);
  const turns = unread.length ? unread : PUTS_ON.has(doing.shows ?? "") ? turnsSeen(state, bundle) : [];
  if (!turns.length) return null;
  const isStopping = state.way && state.way.kind !== "way-back";
  return h("div", { class: "g-warn g-turned", role: "alert" },
    h("h2", { id: "turned-head", tabindex: "-1" }, "What was found changes the plan: these steps no longer follow it."),
    h("ul", {}, turnedPlans(turns).map(({ found, says }) => h("li", {}, `${found}. The plan is now: `, h("b", {}, says)))),
    unread.length ? h("div", { class: "g-choices" },
      ui.stop && !isStopping ? button("Stop: do not go on with this plan", ui.stop, { class: "g-act g-alarm" }) : null,
      button("Both have read it: go on", ui.turnsRead, { id: "turns-read" })) : null);
}

/** @param {RunState} state @param {Bundle} bundle */
function headOf(state, bundle) {
  const way = state.way;
  if (!way) return { title: `Step ${state.at + 1} of ${bundle.steps.length}` };
  const names = { "way-back": "Way back", stop: "Stop, cover, call", leave: "Leave asepsis" };
  return { title: `${names[way.kind]}: ${way.i + 1} of ${way.acts.length}` };
}

/** @param {RunState} state @param {Bundle} bundle */
function wayLine(state, bundle) {
  const way = state.way;
  const slip = way?.slip && (bundle.slips[way.slip]?.says ?? way.slip);
  return slip ? h("p", { class: "g-way-line" }, h("b", {}, "After the slip: "), slip) : null;
}

/**
 * After a way back: the step is done anew, unless both know that it was finished.
 * @param {RunState & { anew: { resumes: number } }} state
 * @param {Bundle} bundle
 * @param {Controls} ui
 */
function anewLine(state, bundle, ui) {
  const { resumes } = state.anew;
  return h("div", { class: "g-card g-anew" },
    h("h2", {}, "The slip came in this step: do it anew."),
    h("p", {}, "Sure that it was finished before the slip? Then it is not repeated."),
    button(`It was finished: go on to step ${resumes + 1}, ${brief(bundle.steps[resumes])}`, ui.wasFinished, { class: "g-act", id: "was-finished" }));
}

/** @param {RunState} state @param {Step} doing */
function sandOf(state, doing) {
  const { span } = state;
  // After a look that said no the time that runs may be another than the step's own.
  const seconds = !span || span.need === null ? doing.seconds : span.need / 1000;
  return seconds ? sand(seconds, "Time of this step") : null;
}

/** @param {Step} doing */
const calledOut = (doing) => h("h3", {}, doing.actor === "assistant" ? "To chart" : "Called out, to chart");

/** @param {Look} look @param {Controls} ui */
function lookAsked(look, ui) {
  const yes = button(look.yes, () => ui.look("yes"), { class: "g-act g-yes", id: "look-yes" });
  const no = button(look.no, () => ui.look("no"), { class: "g-act g-no", id: "look-no" });
  const wait = h("p", { class: "g-look-wait" });
  const node = h("div", { class: "g-look", role: "group", "aria-labelledby": "look-asks" },
    h("div", {}, h("h3", { id: "look-asks" }, look.asks), wait), h("div", { class: "g-pair" }, yes, no));
  /** @param {boolean} isTime */
  function allow(isTime) {
    yes.setAttribute("aria-disabled", String(!isTime));
    no.setAttribute("aria-disabled", String(!isTime));
    wait.textContent = isTime ? "Look aslant in the light, then say." : "First the time, then the look.";
  }
  return { node, allow };
}

/** @type {Record<string, string>} */
const WHY = { "no-network": "No network", "no-answer": "No answer", "signed-out": "Signed out" };

/** @param {Run} run @param {Step} doing @param {Controls} ui */
function factsLine(run, doing, ui) {
  const { facts, span } = run.state;
  if (!facts.read) return factsChanged(run, ui);
  if (!doing.checks_facts) return null;
  const seen = clockTime(facts.heard_at, run.bundle.zone);
  if (!span?.facts) return h("p", { class: "g-facts" }, "Looking at the chart for anything new …");
  const why = WHY[facts.why ?? ""];
  return h("p", { class: `g-facts${why ? " is-old" : ""}` }, why
    ? `${why}: the chart was last seen at ${seen}. Ask aloud whether anything is new: a sensitivity, the skin, an order.`
    : `Chart looked at, ${seen}: nothing new.`);
}

/** @param {Run} run @param {Controls} ui */
export function factsChanged(run, ui) {
  const { changed } = run.state.facts;
  const differs = changed.some((one) => one.plan_differs);
  return h("div", { class: "g-warn", role: "alert" },
    h("h2", {}, differs ? "The chart has changed, and the plan would now be another." : "The chart has changed since the plan."),
    h("ul", {}, changed.map((one) => h("li", {}, one.what))),
    h("div", { class: "g-choices" },
      ui.stop ? button("Stop: do not go on with this plan", ui.stop, { class: "g-act g-alarm" }) : null,
      button("Both have read it: go on", ui.factsRead)));
}

/** @param {RunState} state @param {Bundle} bundle @param {number} t */
const bareWords = (state, bundle, t) => {
  const bare = bareMs(state, bundle, t);
  return bare >= 1000 ? openFor(bundle, bare) : "";
};

/** @param {Holding[]} now @returns {string} */
function heldWords(now) {
  const first = now[0];
  if (!first) return "";
  const open = now.filter((hold) => hold.kind === "value").length;
  return {
    "facts-asked": () => "looking at the chart",
    "facts-changed": () => "read what has changed",
    "plan-turned": () => "read: the plan changes",
    "do-not-use": () => "not to be used: say that you know",
    "fault": () => "that cannot be: look again",
    "length": () => "is the length right?",
    "value": () => (open === 1 ? "1 thing to chart" : `${open} things to chart`),
    "time": () => `${Math.ceil((first.kind === "time" ? first.left : 0) / 1000)} s more`,
    "look": () => "look, then say",
  }[first.kind]();
}

/** @param {RunState} state */
const endWord = (state) => (state.way && state.way.kind !== "way-back" ? "Done: to the entry" : "To the entry");
/** @param {RunState} state */
const endSays = (state) => (state.way ? "the entry, as it was" : "the entry, for both to confirm");

/**
 * What is ahead in one line: the half that acts, else the whole sentence.
 * @param {Step} doing
 */
const brief = (doing) => doing[/** @type {Role} */ (doing.actor)]?.do ?? doing.says;

/** @param {Step} doing @param {Role} role */
function spoken(doing, role) {
  const words = doing[role]?.do;
  return words ? `${role === "operator" ? "Operator" : "Assistant"}: ${words}` : "";
}
