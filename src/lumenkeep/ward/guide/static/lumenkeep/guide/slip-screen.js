// A slip: which one, then the way back worked out beforehand, with what it takes.
import { button, find, h } from "./el.js";
import { openPanel } from "./panel.js";
import { returnsTo, stepIndex } from "./place.js";
import { actsOf, fits, followed, lackingNow, rowFor, rowsHere, stillStands } from "./ways.js";
import { bareMs } from "./fold.js";
import { itemsInWords, lasting, openFor, plural, whatIsOpen, who } from "./words.js";

/**
 * The list of slips possible here; first letters or the number find one.
 * @param {Run} run @param {(slip: string) => unknown} chosen @param {() => void} stop
 */
export function askSlip(run, chosen, stop) {
  const { state, bundle } = run;
  const rows = rowsHere(state, bundle);
  openPanel("What happened?", (close) => {
    const list = h("ul", { class: "g-slips" });
    /** @param {string} slip */
    const pick = (slip) => { close(); chosen(slip); };
    const search = h("input", { id: "slip-search", type: "text", autocomplete: "off", autofocus: true,
      "aria-controls": "slip-list", oninput: show, onkeydown: walk });
    list.id = "slip-list";
    function show() {
      const found = rows.filter((row) => fits(slipOf(bundle, row), search.value));
      list.replaceChildren(...found.map((row) => h("li", {}, slipButton(bundle, row, pick))));
      if (!found.length) list.append(h("li", { class: "soft" }, rows.length ? "Nothing in the list begins so." : "No slip at this step spoils anything."));
    }
    /** @param {KeyboardEvent} event */
    function walk(event) {
      const first = list.querySelector("button");
      if (event.key === "Enter" && first) first.click();
      else if (event.key === "ArrowDown" && first) first.focus();
      else return;
      event.preventDefault();
    }
    list.addEventListener("keydown", (event) => moveIn(list, event));
    show();
    return h("div", {},
      h("p", {}, "Both stop. Say it aloud."),
      h("label", { for: "slip-search" }, "First letters, or the number"), search, list,
      button("Something else: stop, cover, call", () => { close(); stop(); }, { class: "g-act g-alarm" }));
  }, { closes: "No slip: go on" });
}

/** @param {Bundle} bundle @param {WayBack} row @returns {Slip} */
const slipOf = (bundle, row) => bundle.slips[row.slip] ?? { says: row.slip, number: 0 };

/** @param {Bundle} bundle @param {WayBack} row @param {(slip: string) => void} pick */
function slipButton(bundle, row, pick) {
  const slip = slipOf(bundle, row);
  const ends = { "way-back": "", stop: "stop, cover, call", leave: "leave asepsis" }[row.ending];
  return h("button", { type: "button", class: "g-slip-row", onclick: () => pick(row.slip) },
    h("span", { class: "g-number-of" }, String(slip.number)), h("span", {}, slip.says, ends ? h("small", {}, ` ${ends}`) : null));
}

/** @param {HTMLElement} list @param {KeyboardEvent} event */
function moveIn(list, event) {
  const by = /** @type {Record<string, number>} */ ({ ArrowDown: 1, ArrowUp: -1 })[event.key];
  if (!by) return;
  event.preventDefault();
  const all = [...list.querySelectorAll("button")];
  const to = all.indexOf(/** @type {HTMLButtonElement} */ (document.activeElement)) + by;
  if (to < 0) find("#slip-search").focus();
  else all[to]?.focus();
}

/**
 * The way back of the slip that is being decided.
 * @param {Run} run @param {Controls} ui @returns {GuideScreen}
 */
export function slipScreen(run, ui) {
  const { bundle } = run;
  const state = /** @type {AtSlip} */ (run.state);
  const found = rowFor(state, bundle, state.slip.slip);
  const row = followed(found, state.slip);
  const slip = slipOf(bundle, found);
  const lacks = row.ending === "way-back" ? lackingNow(row, state.left) : {};
  const isLacking = Object.keys(lacks).length > 0;
  const bare = h("span", { class: "g-bare" });
  /** @param {number} t */
  const tick = (t) => {
    const ms = bareMs(run.state, bundle, t);
    bare.textContent = ms ? openFor(bundle, ms) : "";
  };
  tick(run.clock.t());
  const node = h("div", { class: "g-way" },
    h("div", { class: "g-line" }, h("h1", { tabindex: "-1", id: "step-head" }, slip.says), bare),
    h("p", { class: "g-way-because" }, slip.because),
    picked(state),
    found.unfinished && state.slip.could_end ? stepWas(state, bundle, ui) : null,
    isLacking ? lackingBox(lacks, bundle, ui) : null,
    h("div", { class: "g-way-halves" },
      h("section", { class: "g-card", "aria-labelledby": "do-now" },
        h("h2", { id: "do-now" }, titleOf(row)), row.ending === "way-back" ? null : h("p", {}, row.because),
        h("ol", { class: "g-acts" }, actsOf(row, bundle).map((act) => actRow(act, bundle))),
        row.ending === "way-back" ? h("p", { class: "g-then" }, afterwards(state, bundle, row)) : null),
      row.ending === "way-back" ? aside(bundle, row, slip) : null));
  const start = () => ui.way(row);
  const foot = h("div", { class: `g-foot${isLacking ? " has-no-next" : ""}` },
    h("button", { type: "button", class: "g-slip", id: "stop", onclick: ui.stop }, h("b", {}, "Stop, cover, call"), h("span", {}, "always the safe side")),
    h("div", { class: "g-ahead" }, picked(state) ? h("p", {}, "Thrown in for practice.")
      : h("button", { type: "button", class: "g-back", onclick: ui.withdraw }, "Pressed by mistake")),
    isLacking ? null : h("button", { type: "button", class: "g-next", id: "next", onclick: start },
      h("b", {}, row.ending === "way-back" ? "Begin the way back" : titleOf(row))));
  return { node, foot, tick, heading: "step-head",
    says: `${slip.says} ${titleOf(row)}. ${actsOf(row, bundle).map((act) => act.says).join(" ")}`,
    commands: { next: isLacking ? () => {} : start } };
}

/**
 * Whether the step was finished decides the way; not sure is not finished.
 * @param {AtSlip} state @param {Bundle} bundle @param {Controls} ui
 */
function stepWas(state, bundle, ui) {
  const { says } = bundle.steps[stepIndex(bundle, state.slip.step)];
  /** @param {boolean} finished @param {string} words */
  const pill = (finished, words) => h("label", { class: "pill" },
    h("input", { type: "radio", name: "step-was", id: finished ? "step-was-finished" : "step-was-not", checked: Boolean(state.slip.finished) === finished,
      onchange: () => ui.stepWas(finished) }), h("span", {}, words));
  return h("fieldset", { class: "g-card g-step-was" },
    h("legend", {}, "When it happened, was this step finished?"), h("p", {}, says),
    h("div", { class: "g-pills" }, pill(false, "No, or nobody is sure"), pill(true, "Yes, both say so")));
}

/**
 * One act; a step of the procedure that is done once more says so.
 * @param {Step} act @param {Bundle} bundle
 */
function actRow(act, bundle) {
  const again = stepIndex(bundle, act.step ?? act.id) >= 0;
  return h("li", {}, h("b", {}, who(act.actor)), ` ${act.says}`, again ? h("small", { class: "g-again" }, "once more") : null);
}

/** @param {WayBack} row */
const titleOf = (row) => ({ "way-back": "The way back", stop: "Stop, cover, call", leave: "Leave asepsis" })[row.ending];

/** @param {AtSlip} state */
function picked(state) {
  const last = state.picks.at(-1);
  if (!last || last.slip !== state.slip.slip) return null;
  return h("p", { class: `g-pick ${last.is_right ? "is-right" : "is-wrong"}` },
    h("b", {}, last.is_right ? "Right: " : "Not quite: "), last.is_right ? "that is the way worked out." : `you chose “${last.chose}” This is the way, and why:`);
}

/** @param {AtSlip} state @param {Bundle} bundle @param {WayBack} row */
function afterwards(state, bundle, row) {
  const { step } = state.slip;
  const before = state.way ? state.way.gone.slice(0, state.way.i) : [];
  const at = returnsTo({ then: row.then ?? null, step, gone: [...before, ...row.acts], finished: state.slip.finished }, bundle);
  const back = bundle.steps[at];
  if (row.is_unfinished) return [h("b", {}, `Then step ${at + 1}: ${back.says}`), " It was not finished; what it needs lies ready again."];
  const anew = back.id === step ? " It was interrupted, so it is done anew; if what it needs is used up, that is a slip of its own. If it was finished before the slip, say so there." : "";
  return [h("b", {}, `Then step ${at + 1}: ${back.says}`), anew];
}

/** @param {Bundle} bundle @param {WayBack} row @param {Slip} slip */
function aside(bundle, row, slip) {
  const stands = stillStands(row, bundle);
  const needs = row.needs ?? {};
  return h("section", { class: "g-card", "aria-labelledby": "takes" },
    h("h2", { id: "takes" }, "What it takes"),
    row.cost ? h("p", {}, costWords(row.cost, whatIsOpen(bundle))) : null,
    Object.keys(needs).length ? h("p", {}, `From the spares: ${itemsInWords(needs, bundle)}.`) : h("p", {}, "No spares."),
    slip.redo ? h("p", {}, h("b", {}, "In one sentence: "), slip.redo) : null,
    slip.keep ? h("p", {}, h("b", {}, "Not to be left out: "), slip.keep) : null,
    row.because && row.because !== slip.because ? h("p", { class: "soft" }, row.because) : null,
    stands.length ? h("details", { open: stands.length < 4 }, h("summary", {}, `Not repeated: ${plural(stands.length, "step")}`),
      h("ul", { class: "g-stands" }, stands.map((one) => h("li", {}, h("b", {}, one.step.says), ` ${one.because}`)))) : null);
}

/** @param {NonNullable<WayBack["cost"]>} cost @param {string} open */
const costWords = (cost, open) =>
  `${[cost.bare_s ? `About ${lasting(cost.bare_s * 1000)} longer with the ${open}` : `No longer with the ${open}`,
    plural(cost.pieces, "piece"), plural(cost.acts, "act")].join(", ")}.`;

/** @param {Counts} lacks @param {Bundle} bundle @param {Controls} ui */
function lackingBox(lacks, bundle, ui) {
  return h("div", { class: "g-warn", role: "alert" },
    h("h2", {}, `Not in the room: ${itemsInWords(lacks, bundle)}`),
    h("p", {}, "A third person brings it, unopened. Neither of you leaves. If nobody can: stop, cover, call."),
    button("It is here, unopened", () => ui.brought(lacks), { class: "g-act" }));
}
