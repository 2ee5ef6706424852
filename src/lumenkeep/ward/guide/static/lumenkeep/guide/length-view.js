// What stands under a length: a question asked once, what a shift means, a second measurement.
import { button, h } from "./el.js";
import { lengthNow } from "./length.js";

/**
 * A box that follows what is typed; it waits until the number is typed out.
 * @param {Field} field @param {Run} run @param {Controls} ui
 */
export function lengthBox(field, run, ui) {
  const node = h("div", { class: "g-length", role: "alert", id: `length-${field.field}` });
  let shown = "";
  function tick() {
    const isTyping = document.activeElement?.id === `f-${field.field}`;
    const now = lengthNow(field, run.state);
    const key = now ? `${now.kind} ${now.says}` : "";
    // While somebody types, half a number means nothing.
    if (key === shown || (isTyping && now)) return;
    shown = key;
    node.replaceChildren(...(now ? said(field, now, ui) : []));
    node.classList.toggle("is-moved", now?.kind === "moved");
  }
  tick();
  return { node, tick };
}

/**
 * The words; where it is asked back, the answers too.
 * @param {Field} field @param {LengthSaid} now @param {Controls} ui
 */
function said(field, now, ui) {
  const meant = now.meant !== null && now.meant !== undefined
    ? button(`${now.meant} mm was meant`, () => ui.value(field.field, String(now.meant), true), { class: "g-act g-small" }) : null;
  const sure = now.kind === "ask"
    ? button(`It is ${now.typed} mm`, () => ui.lengthSure(field, now.key ?? ""), { class: "g-act g-small", id: "length-sure" }) : null;
  const anew = sure || now.kind === "impossible" ? button("Type it anew", () => ui.typeAnew(field), { class: "g-act g-small" }) : null;
  const words = h("p", {}, now.says);
  return anew ? [words, h("div", { class: "g-choices" }, sure, meant, anew)] : [words];
}
