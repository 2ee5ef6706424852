// Before the first step: for whom, by whom, and whether everything lies ready.
import { heldBox } from "./band-view.js";
import { button, find, findInput, h } from "./el.js";
import { dayTime, plural } from "./words.js";

/** @param {Run} run @param {Controls} ui */
export function readyScreen(run, ui) {
  const { bundle, state } = run;
  const boxes = bundle.lay_out.map((item, i) => h("li", {}, h("label", { class: "g-check" },
    h("input", { type: "checkbox", id: `lies-${i}`, checked: ui.ticked.has(i), onchange: count }),
    h("span", {}, h("b", {}, item.name), h("span", { class: "g-count" }, `× ${item.count}`), item.spare ? h("em", {}, "spare") : null, item.holds ? h("small", { class: "g-holds" }, `For slips that spoil the field: ${item.holds}`) : null))));
  const counted = h("p", { class: "g-counted", role: "status" });
  const unticked = () => boxes.filter((box) => !findInput("input", box).checked).map((box) => find("b", box).textContent ?? "");
  const start = () => ui.begin(unticked());
  const tickAll = button("All of it lies ready", () => {
    for (const box of boxes) findInput("input", box).checked = true;
    count();
  }, { class: "g-act g-small" });
  const begin = h("button", { type: "button", class: "g-next", id: "next", onclick: start }, h("b", {}, "Begin"), h("span", { class: "g-held" }));
  function count() {
    for (const [i, box] of boxes.entries()) {
      if (findInput("input", box).checked) ui.ticked.add(i);
      else ui.ticked.delete(i);
    }
    const missing = unticked().length;
    find(".g-held", begin).textContent = missing ? `${missing} not ticked` : "";
    counted.textContent = missing ? `${plural(missing, "thing")} not ticked yet.` : "Everything lies ready.";
  }
  count();
  const { plan } = bundle;
  const node = h("div", { class: "g-ready" },
    h("h1", { tabindex: "-1", id: "step-head" }, bundle.procedure.title),
    h("p", { class: "g-who" }, bundle.line.name, ". ", people(bundle)),
    heldBox(state),
    alsoOpen(bundle),
    sentElsewhere(state, bundle),
    isOld(bundle) ? h("p", { class: "g-warn" }, "This was prepared long ago, and the plan may be another by now. Prepare it anew from the line's page.") : null,
    h("div", { class: "g-way-halves" },
      h("section", { class: "g-card", "aria-labelledby": "plan-head" }, h("h2", { id: "plan-head" }, "The plan"),
        h("p", { class: "g-plan" }, plan.sentence),
        plan.cautions?.length ? h("ul", { class: "g-cautions" }, plan.cautions.map((text) => h("li", {}, text))) : null,
        h("p", { class: "soft" }, `Worked out ${dayTime(bundle.made_at, bundle.zone)}, policy ${plan.policy.set} ${plan.policy.version}.`),
        h("p", { class: "soft" }, bundle.caution)),
      h("section", { class: "g-card", "aria-labelledby": "lies-head" }, h("h2", { id: "lies-head" }, "Does all this lie ready?"),
        h("p", { class: "soft" }, "Packs dry, whole, in date. The spares stay unopened, for slips: nobody leaves the room."),
        h("ul", { class: "g-lies" }, boxes), tickAll, counted)));
  const foot = h("div", { class: "g-foot g-foot-way" },
    h("button", { type: "button", class: "g-back g-wide", onclick: ui.giveUp }, "Not now"),
    h("div", { class: "g-ahead" }, h("p", {}, h("span", { class: "soft" }, "First "), bundle.steps[0].says)), begin);
  return { node, foot, tick() {}, heading: "step-head", says: `${bundle.procedure.title}. ${plan.sentence}`, commands: { next: start } };
}

// The server, too, gives the same people the same guide for so long, and then a new one.
const OLD_MS = 12 * 3_600_000;
/** @param {Bundle} bundle */
const isOld = (bundle) => Date.now() - Date.parse(bundle.made_at) > OLD_MS;

/** @param {Bundle} bundle */
function alsoOpen(bundle) {
  const other = bundle.also_open;
  if (!other) return null;
  const since = `since ${dayTime(other.since, bundle.zone)}`;
  const isAnother = other.run && other.run !== bundle.run;
  return h("p", { class: "g-warn" }, isAnother
    ? `${other.by_name} has another guide open on this line ${since}. Sent both, it comes to two entries: ask before you begin.`
    : `This change is open on another tablet too, ${since}, by ${other.by_name}. Whichever is sent first is charted; the other is kept beside it.`);
}

/** @param {Bundle} bundle */
function people(bundle) {
  const { operator, assistant } = bundle.people;
  return assistant ? `Operator ${operator.name}, assistant ${assistant.name}.` : `Operator ${operator.name}; nobody assists.`;
}

/** @param {RunState} state @param {Bundle} bundle */
export function sentElsewhere(state, bundle) {
  const sent = state.facts.sent;
  return sent ? h("p", { class: "g-warn", role: "alert" }, `This change was already charted from another tablet, ${dayTime(sent.at, bundle.zone)}, by ${sent.by}.`) : null;
}
