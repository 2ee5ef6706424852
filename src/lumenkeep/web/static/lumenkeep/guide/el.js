// Elements from words: h("p", {class: "soft"}, "text", other). Text is always text, so
// nothing that somebody typed can become markup.
const SVG = "http://www.w3.org/2000/svg";

function fill(node, props, children) {
  for (const [name, value] of Object.entries(props ?? {})) {
    if (value === null || value === undefined || value === false) continue;
    if (name.startsWith("on")) node.addEventListener(name.slice(2), value);
    else if (name === "value") node.value = value;
    else node.setAttribute(name, value === true ? "" : value);
  }
  node.append(...children.flat(Infinity).filter((child) => child !== null && child !== undefined && child !== false));
  return node;
}

export const h = (tag, props, ...children) => fill(document.createElement(tag), props, children);
export const svg = (tag, props, ...children) => fill(document.createElementNS(SVG, tag), props, children);

/** A drawing of our own, from the shell; null where there is none of that name. */
export function drawing(name) {
  const found = name && document.getElementById(`drawing-${name}`);
  return found ? h("div", { class: "g-drawing" }, found.content.firstElementChild.cloneNode(true)) : null;
}

/** A control large enough for a gloved finger. */
export const button = (words, press, more = {}) =>
  h("button", { type: "button", class: "g-act", ...more, onclick: press }, words);
