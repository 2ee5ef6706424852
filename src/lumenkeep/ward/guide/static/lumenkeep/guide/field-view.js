// What is called out at a step, typed by the assistant in large controls. Every stroke is
// kept at once.
import { button, focused, h } from "./el.js";
import { faultOf, isUnknown, NUMBERS } from "./values.js";

/** @type {Record<string, string>} */
const UNITS = { mm: "mm", length: "mm", g: "g", mass: "g" };

/**
 * One field; `put` is called with each new value.
 * @param {Field} field
 * @param {Value} value
 * @param {(value: Value, again?: unknown) => unknown} put
 * @param {{ fault?: Fault | null }} [how]
 */
export function fieldControl(field, value, put, { fault = null } = {}) {
  const id = `f-${field.field}`;
  const message = h("p", { class: "fault", id: `${id}-fault`, role: "alert" }, fault ? words(fault) : "");
  const control = isUnknown(value)
    ? unknownControl(id, value, put)
    : h("div", { class: "g-control" }, draw(id, field, value, put, message));
  const box = h("div", { class: `g-field${fault ? " is-wrong" : ""}`, "data-field": field.field }, head(id, field), control, message);
  if (field.required && !field.always_known && !isUnknown(value)) box.append(notKnown(id, control, put));
  return box;
}

/** @param {Fault} fault */
const words = (fault) => `${fault.what} ${fault.mend ?? ""}`.trim();

/** @param {string} id @param {Field} field */
function head(id, field) {
  const grouped = ["choice", "several", "yes-no"].includes(field.type);
  const label = grouped ? h("span", { class: "g-label", id: `${id}-label` }, field.label)
    : h("label", { class: "g-label", for: id }, field.label);
  const ifAny = field.required ? "" : h("span", { class: "soft" }, " if there is something to say");
  return h("div", { class: "g-field-head" }, label, ifAny,
    field.previous ? h("p", { class: "g-previous", id: `${id}-previous` }, `Last time: ${field.previous}`) : null);
}

/**
 * @param {string} id
 * @param {Field} field
 * @param {Value} value
 * @param {(value: Value, again?: unknown) => unknown} put
 * @param {HTMLElement} message
 */
function draw(id, field, value, put, message) {
  if (field.type === "choice" || field.type === "several" || field.type === "yes-no") return pills(id, field, value, put);
  if (NUMBERS.includes(field.type)) return number(id, field, value, put, message);
  return h("textarea", { id, rows: "2", value: value ?? "", "aria-describedby": `${id}-fault`,
    oninput: (event) => put(event.target.value) });
}

const YES_NO = [{ value: "yes", label: "Yes" }, { value: "no", label: "No" }];

/**
 * @param {string} id
 * @param {Field} field
 * @param {Value} value
 * @param {(value: Value, again?: unknown) => unknown} put
 */
function pills(id, field, value, put) {
  const several = field.type === "several";
  const chosen = new Set(/** @type {string[]} */ ([value ?? []].flat()));
  /** @param {Event & { target: HTMLInputElement }} event */
  const change = (event) => {
    if (!several) return put(event.target.value);
    if (event.target.checked) chosen.add(event.target.value);
    else chosen.delete(event.target.value);
    return put([...chosen]);
  };
  const choices = field.choices?.length ? field.choices : YES_NO;
  return h("div", { class: "g-pills", id, role: several ? "group" : "radiogroup", "aria-labelledby": `${id}-label`, onclick: letGo },
    choices.map((choice, i) => h("label", { class: "pill" },
      h("input", { type: several ? "checkbox" : "radio", name: id, id: `${id}-${i}`, value: choice.value,
        checked: chosen.has(choice.value), onchange: change }),
      h("span", {}, choice.label))));
}

/**
 * A choice that a finger made gives the keyboard back: a pedal that sends an arrow or a
 * space means the next step, and must never move or clear what was just called out.
 * Whoever chose by the keyboard (no press counted) stays where she is.
 * @param {MouseEvent & { currentTarget: HTMLElement }} event
 */
function letGo(event) {
  const group = event.currentTarget;
  // The label's own work, which gives its choice the focus, comes after this.
  if (event.detail > 0) setTimeout(() => group.contains(focused()) && focused()?.blur());
}

/**
 * @param {string} id
 * @param {Field} field
 * @param {Value} value
 * @param {(value: Value, again?: unknown) => unknown} put
 * @param {HTMLElement} message
 */
function number(id, field, value, put, message) {
  const input = h("input", { id, type: "text", inputmode: "decimal", autocomplete: "off", value: value ?? "",
    "aria-describedby": `${id}-fault` });
  const say = () => {
    message.textContent = faultOf(field, input.value) ?? "";
    put(input.value);
  };
  input.addEventListener("input", say);
  /** @param {number} by */
  const move = (by) => () => {
    const now = Number(input.value.replace(",", ".")) || 0;
    input.value = String(Math.max(0, now + by));
    say();
  };
  return h("div", { class: "g-number" },
    button("−", move(-1), { class: "g-stepper", "aria-label": `${field.label}: one less` }), input,
    UNITS[field.type] ? h("span", { class: "unit" }, UNITS[field.type]) : null,
    button("+", move(1), { class: "g-stepper", "aria-label": `${field.label}: one more` }));
}

/**
 * Unknown is not no: what cannot be told is charted as not known, with the reason.
 * @param {string} id
 * @param {HTMLElement} control
 * @param {(value: Value, again?: unknown) => unknown} put
 */
function notKnown(id, control, put) {
  const ask = button("Not known …", () => {
    ask.remove();
    control.replaceWith(unknownControl(id, { unknown: "" }, put));
    document.getElementById(id)?.focus();
  }, { class: "g-small" });
  return ask;
}

/**
 * @param {string} id
 * @param {NotKnown} value
 * @param {(value: Value, again?: unknown) => unknown} put
 */
function unknownControl(id, value, put) {
  return h("div", { class: "g-control g-unknown" },
    h("label", { for: id }, "Not known, because"),
    h("input", { id, type: "text", value: value.unknown, "aria-describedby": `${id}-fault`,
      oninput: (event) => put(event.target.value.trim() ? { unknown: event.target.value.trim() } : "") }),
    button("It is known after all", () => put("", "again"), { class: "g-small" }));
}
