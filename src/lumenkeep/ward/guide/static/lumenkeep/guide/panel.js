// A panel over the screen: one question, large answers, Escape closes it and changes nothing.
import { button, find, h } from "./el.js";

/** @type {HTMLDialogElement | null} */
let open = null;

export const isPanelOpen = () => open !== null;

export function closePanel() {
  open?.close();
}

/**
 * Show a panel; `content` gets a function that closes it.
 * @param {string} title
 * @param {(close: () => void) => Node} content
 * @param {{ closes?: string, must?: boolean }} [how]
 */
export function openPanel(title, content, { closes = "Close", must = false } = {}) {
  closePanel();
  const panel = h("dialog", { class: "g-panel", "aria-labelledby": "panel-title" });
  const close = () => panel.close();
  panel.append(
    h("div", { class: "g-panel-in" },
      h("h2", { id: "panel-title", tabindex: "-1" }, title),
      content(close),
      must ? null : button(closes, close, { class: "g-act g-quiet g-close" })),
  );
  panel.addEventListener("cancel", (event) => must && event.preventDefault());
  panel.addEventListener("close", () => {
    panel.remove();
    if (open === panel) open = null;
  });
  document.body.append(panel);
  open = panel;
  panel.showModal();
  (find("[autofocus]", panel) ?? find("h2", panel)).focus();
  return panel;
}

/**
 * Ask for a reason: large answers, or words of one's own.
 * @param {string} title
 * @param {Child} says
 * @param {string[]} reasons
 * @param {(why: string) => unknown} chosen
 */
export function askReason(title, says, reasons, chosen) {
  return openPanel(title, (close) => {
    const own = h("textarea", { id: "own-reason", rows: "2" });
    const message = h("p", { class: "fault", role: "alert" });
    /** @param {string} reason */
    const choose = (reason) => { close(); chosen(reason); };
    const useOwn = () => {
      if (own.value.trim()) choose(own.value.trim());
      else message.textContent = "Write the reason in a few words.";
    };
    return h("div", {},
      h("div", {}, says),
      h("div", { class: "g-choices" }, reasons.map((reason) => button(reason, () => choose(reason)))),
      h("label", { for: "own-reason" }, "Another reason"), own, message,
      button("Use this reason", useOwn));
  }, { closes: "Back, change nothing" });
}
