// The two halves of a step: what each person does now, does next, and watches.
import { drawing, h } from "./el.js";
import { does, ROLES } from "./words.js";

/**
 * Both halves, the same at every step; `more` is what only the assistant's half carries,
 * `plan` what of the plan stands at the step: with whoever does it first.
 * @param {Step} doing @param {Bundle} bundle @param {Child} more @param {Child} plan
 */
export function halves(doing, bundle, more, plan) {
  const together = sameForBoth(doing);
  return h("div", { class: `g-halves${together ? " is-together" : ""}` },
    together ? h("section", { class: "g-together is-doing", "aria-labelledby": "both-head" },
      h("h2", { class: "g-role", id: "both-head" }, h("b", {}, "Both"), h("span", { class: "g-does" }, "do this now")),
      say(together), drawn(doing), plan) : null,
    half("operator", doing, bundle, null, together, plan), half("assistant", doing, bundle, more, together, plan));
}

/**
 * What both do, where it is one and the same thing: said once, large.
 * @param {Step} doing @returns {string | null}
 */
function sameForBoth(doing) {
  const [operator, assistant] = [doing.operator?.do, doing.assistant?.do];
  if (operator || assistant) return operator === assistant ? operator ?? null : null;
  return does(doing, "operator") && does(doing, "assistant") ? doing.says : null;
}

/**
 * @param {Role} role
 * @param {Step} doing
 * @param {Bundle} bundle
 * @param {Child} more
 * @param {string | null} together
 * @param {Child} plan
 */
function half(role, doing, bundle, more, together, plan) {
  const says = doing[role] ?? {};
  const isDoing = does(doing, role) && !together;
  const main = together ? null : (says.do ?? (isDoing ? doing.says : null));
  const idle = !main && !says.watch && !together;
  const person = bundle.people[role];
  return h("section", { class: `g-half${isDoing ? " is-doing" : ""}`, "aria-labelledby": `${role}-head` },
    h("h2", { class: "g-role", id: `${role}-head` },
      h("b", {}, ROLES[role]), person ? h("span", {}, person.name) : null,
      together ? null : h("span", { class: "g-does" }, isDoing ? "does this now" : "meanwhile")),
    main ? say(main) : null,
    isDoing && isFirstDoing(role, doing) ? plan : null,
    says.watch ? h("p", { class: "g-watch" }, /^watch\b/i.test(says.watch) ? null : h("b", {}, "Watch: "), says.watch) : null,
    idle ? h("p", { class: "g-say" }, waits(doing)) : null,
    more,
    says.then ? h("p", { class: "g-then" }, "Then: ", says.then) : null,
    isDoing && isFirstDoing(role, doing) ? drawn(doing) : null);
}

// A long sentence a size smaller, so that the drawing beside it stays in sight.
const LONG = 90;
/** @param {string} words */
const say = (words) => h("p", { class: `g-say${words.length > LONG ? " is-long" : ""}` }, words);
/** @param {Step} doing */
const drawn = (doing) => drawing(doing.drawing ?? ofTimer(doing));

/**
 * What the other half reads; there is no field to watch before it is open.
 * @param {Step} doing
 */
const waits = (doing) => (doing.field_open === false && doing.bare === false
  ? "Nothing to do just now." : "Nothing to do: hands still, eyes on the field.");

/** @param {Role} role @param {Step} doing */
const isFirstDoing = (role, doing) => role === "operator" || !does(doing, "operator");

/**
 * What is drawn for a step that names no motion of its own.
 * @param {Step} doing
 */
function ofTimer(doing) {
  if (doing.look || doing.timer === "dry") return "look-aslant";
  return /** @type {Record<string, string>} */ ({ hands: "hands", hub: "hub" })[doing.timer ?? ""] ?? null;
}
