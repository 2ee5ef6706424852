// What is shown of a run: which screen, drawn when, and where the eye and the focus go.
import { showBand } from "./band-view.js";
import { find, h } from "./el.js";
import { openPanel } from "./panel.js";
import { summaryScreen } from "./practice-screen.js";
import { readyScreen } from "./ready-screen.js";
import { offScreen, pausedScreen, waitingScreen } from "./rest-screens.js";
import { reviewScreen } from "./review-screen.js";
import { slipScreen } from "./slip-screen.js";
import { stepScreen } from "./step-screen.js";

// These change what is typed, not which screen is right; drawing anew would move the caret.
/** @type {Set<Told>} */
const ONLY_TYPED = new Set(["value", "edit", "note", "jump"]);
/** @type {Set<Told>} */
const STAYS = new Set(["step-was", "facts", "facts-read", "turns-read", "hold-known", "length-sure", "brought", "early", "confirm", "faults", "facts-changed", "queued"]);

/** @param {Told} type */
export const isOnlyTyped = (type) => ONLY_TYPED.has(type);

/**
 * Whether the screen stays the one it was, and the focus where the person was.
 * @param {Told} type
 */
export const staysInPlace = (type) => STAYS.has(type);

export class RunView {
  /** @param {Run} run @param {Shell} shell */
  constructor(run, shell) {
    this.run = run;
    this.shell = shell;
    /** What the screens press. */
    this.controls = /** @type {Controls} */ (/** @type {unknown} */ (null));
    this.shownAt = 0;
  }

  /** @param {Told} type */
  changed(type) {
    if (type === "not-kept") sayNotKept();
    else if (isOnlyTyped(type)) this.tick();
    else this.draw({ keepFocus: staysInPlace(type) });
  }

  tick() {
    this.shell.screen()?.tick(this.run.clock.t());
  }

  /** @param {ShowHow} [how] */
  draw(how) {
    const next = this.screenNow();
    showBand(this.run.bundle, this.run.state);
    if (!how?.keepFocus) this.noteShown();
    this.shell.show(next, how);
    if (next.says && !how?.keepFocus) this.shell.say(next.says);
  }

  screenNow() {
    const { run, controls } = this;
    const { state } = run;
    if (state.phase === "ready") return readyScreen(run, controls);
    if (state.phase === "review" && run.bundle.practice) return summaryScreen(run, controls);
    if (state.phase === "review") return reviewScreen(run, controls);
    if (state.phase === "waiting" || state.phase === "given-up") return waitingScreen(run, controls);
    if (state.slip) return slipScreen(run, controls);
    if (state.paused) return pausedScreen(run, controls);
    return state.off ? offScreen(run, controls) : stepScreen(run, controls);
  }

  // ------------------------------------------------------------- how long it has been there

  noteShown() {
    this.shownAt = performance.now();
  }

  /** How long the screen has been there, in ms: a hand that presses twice means it once. */
  shownFor() {
    return performance.now() - this.shownAt;
  }

  // ------------------------------------------------------------- where the eye is led

  /** @param {Field} field */
  toField(field, words = "Still to chart") {
    const box = find(`[data-field="${field.field}"]`);
    this.shell.say(`${words}: ${field.label}`);
    (/** @type {HTMLElement | null} */ (box?.querySelector("input:not([type=hidden]), textarea")) ?? box)?.focus();
  }

  /** @param {Field} field */
  toLength(field) {
    if (document.getElementById("length-sure")) this.toId("length-sure", `Is it right? ${field.label}`);
    else this.toField(field, "That cannot be");
  }

  /** @param {string} id @param {string} words */
  toId(id, words) {
    this.shell.say(words);
    document.getElementById(id)?.focus();
  }
}

/** The disk is full, or broken: nothing goes on as if it were kept. */
function sayNotKept() {
  openPanel("The tablet could not keep this", () => h("p", {}, "Try once more. If it stays so, go on by the change plan on paper and chart by hand: what was kept so far is still here."));
}
