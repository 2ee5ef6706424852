// What is seldom needed at a step: pause, stop, reading aloud, the keys.
import { button, find, h } from "./el.js";
import { openPanel } from "./panel.js";
import { hasTouched } from "./place.js";
import { canSpeak, isAloud, setAloud } from "./speech.js";

const KEYS = [
  ["Space, →, Page Down", "next"],
  ["←, Page Up", "back"],
  ["S", "slip"],
  ["1, 2", "the first, the second answer to a look"],
  ["P", "pause"],
  ["Escape", "closes a question, changes nothing"],
];

/** @param {Run} run @param {Controls} controls */
export function askMenu(run, controls) {
  const { state } = run;
  openPanel("More", (close) => {
    /** @param {(() => unknown) | null} act */
    const does = (act) => () => { close(); act?.(); };
    const aloud = () => { setAloud(!isAloud()); close(); };
    const isRunning = state.phase === "steps" && !state.paused;
    return h("div", {},
      h("div", { class: "g-choices" },
        isRunning ? button("Pause", does(controls.pause), { id: "pause" }) : null,
        state.phase === "steps" ? button("Stop, cover, call", does(controls.stop), { class: "g-act g-alarm" }) : null,
        canSpeak() ? button(isAloud() ? "Read aloud: on. Turn off" : "Read aloud: off. Turn on", aloud) : null,
        lookButton(),
        endButton(run, does(controls.giveUp))),
      h("h3", {}, "Without a hand"),
      h("dl", { class: "g-keys" }, KEYS.map(([keys, what]) => [h("dt", {}, keys), h("dd", {}, what)])));
  });
}

/** Light, dark or as the device has it: the switch of the other pages, worked from here. */
function lookButton() {
  const other = find("[data-look-switch]");
  const here = button(other.textContent, () => {
    other.click();
    here.textContent = other.textContent;
  });
  return here;
}

/** @param {Run} run @param {() => void} giveUp */
function endButton({ state, bundle }, giveUp) {
  if (bundle.practice) return button("End the practice", giveUp);
  const mayEnd = ["ready", "steps"].includes(state.phase) && !hasTouched(state, bundle);
  return mayEnd ? button("Give up this guide", giveUp) : null;
}
