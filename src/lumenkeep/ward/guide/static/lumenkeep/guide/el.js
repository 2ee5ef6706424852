// Elements from words: h("p", {class: "soft"}, "text", other). Text is always text, so
// nothing that somebody typed can become markup.
const SVG = "http://www.w3.org/2000/svg";

/**
 * @template {Element} E
 * @param {E} node @param {Props | null | undefined} props @param {Child[]} children
 */
function fill(node, props, children) {
  for (const [name, value] of Object.entries(props ?? {})) {
    if (value === null || value === undefined || value === false) continue;
    if (name.startsWith("on")) node.addEventListener(name.slice(2), /** @type {EventListener} */ (value));
    else if (name === "value") /** @type {any} */ (node).value = value;
    else node.setAttribute(name, value === true ? "" : String(value));
  }
  const flat = /** @type {(string | Node)[]} */ (/** @type {unknown[]} */ (children).flat(Infinity));
  node.append(...flat.filter((child) => child !== null && child !== undefined && /** @type {unknown} */ (child) !== false));
  return node;
}

/**
 * @template {keyof HTMLElementTagNameMap} T
 * @param {T} tag @param {Props} [props] @param {Child[]} children
 */
export const h = (tag, props, ...children) => fill(document.createElement(tag), props, children);
/**
 * @template {keyof SVGElementTagNameMap} T
 * @param {T} tag @param {Props} [props] @param {Child[]} children
 */
export const svg = (tag, props, ...children) => fill(document.createElementNS(SVG, tag), props, children);

/**
 * An element that the page surely has.
 * @param {string} css @param {ParentNode} [inside]
 */
export const find = (css, inside = document) => /** @type {HTMLElement} */ (inside.querySelector(css));
/** @param {string} css @param {ParentNode} [inside] */
export const findInput = (css, inside = document) => /** @type {HTMLInputElement} */ (inside.querySelector(css));

/** What has the focus: something to type in, as a rule. */
export const focused = () => /** @type {HTMLInputElement | null} */ (document.activeElement);

/**
 * A drawing of our own, from the shell; null where there is none of that name.
 * @param {string | null | undefined} name
 */
export function drawing(name) {
  const found = /** @type {HTMLTemplateElement | null} */ (name && document.getElementById(`drawing-${name}`));
  return found ? h("div", { class: "g-drawing" }, found.content.firstElementChild?.cloneNode(true)) : null;
}

/**
 * A control large enough for a gloved finger.
 * @param {string} words @param {() => unknown} press @param {Props} [more]
 */
export const button = (words, press, more = {}) =>
  h("button", { type: "button", class: "g-act", ...more, onclick: press }, words);
