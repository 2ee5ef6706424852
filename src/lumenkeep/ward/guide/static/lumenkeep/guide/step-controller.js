// At a step: going on once nothing holds it, looking, going back, and what is called out.
import { BOUNCE_MS } from "./commands.js";
import { focused } from "./el.js";
import { holds } from "./holds.js";
import { askKnown } from "./known.js";
import { askReason } from "./panel.js";
import { doingNow } from "./place.js";
import { leftMs } from "./span.js";

const EARLY = ["It was timed by another clock.", "The child could bear no more.", "The child is in danger."];

/** @param {Parts} parts */
export function stepController({ run, view, shell }) {
  /** @type {HTMLDialogElement | null} */
  let early = null; // the question why a timed step is left early, while it is open

  const holdsNow = () => holds(run.state, run.bundle, run.clock.t());
  const timeLeft = () => (run.state.span ? leftMs(run.state.span, run.clock.t()) : 0);

  /**
   * What is to be done about each hold, in the order in which they are dealt with.
   * @type {Record<string, (hold: any) => unknown>}
   */
  const MEND = {
    "value": ({ field }) => view.toField(field),
    "time": ({ left }) => askEarly(left),
    "fault": ({ field }) => view.toField(field, "That cannot be"),
    "length": ({ field }) => view.toLength(field),
    "look": () => view.toId("look-yes", "First look, then say: dry, or still wet."),
    "do-not-use": () => askKnown(run, () => shell.say("Known and written down.")),
    "facts-asked": () => shell.say("Looking at the chart."),
    "plan-turned": () => view.toId("turned-head", "Read first: what was found changes the plan."),
    "facts-changed": () => view.toId("step-head", "Read first what has changed."),
  };

  async function next() {
    await run.tail; // what was typed a moment before counts
    typedOut();
    const [first] = holdsNow();
    if (first) MEND[first.kind](first);
    else if (view.shownFor() > BOUNCE_MS) pass("next");
  }

  /**
   * A second press that comes before the disk has answered still meets the old screen.
   * @template {EventType} K @param {K} type @param {EventData[K]} [data]
   */
  function pass(type, data) {
    view.noteShown();
    return run.add(type, data);
  }

  /** Whoever goes on has typed the number out: now it is judged. */
  function typedOut() {
    const box = focused();
    if (box?.inputMode === "decimal") box.blur();
    view.tick();
  }

  /** @param {number} left */
  function askEarly(left) {
    early = askReason(`${Math.ceil(left / 1000)} s are still missing`, "Going on early is charted, with the reason.", EARLY, async (reason) => {
      // While the reason was being found the time may have run out: then nothing is early.
      if (timeLeft() > 0) await run.add("early", { reason });
      if (!holdsNow().length) await run.add("next");
    });
  }

  /** @param {"yes" | "no"} answer */
  async function look(answer) {
    const doing = doingNow(run.state, run.bundle);
    if (!doing?.look || view.shownFor() < BOUNCE_MS) return;
    const left = timeLeft();
    if (left > 0) {
      shell.say(`First the time: ${Math.ceil(left / 1000)} s more.`);
      return;
    }
    await pass("look", { answer });
    if (answer === "yes" && !holdsNow().length) await run.add("next");
  }

  /** @param {Step} doing */
  function timeIsOver(doing) {
    early?.close();
    shell.say(doing.look ? "The time is over. Now look." : "The time is over.");
    navigator.vibrate?.(200);
  }

  /** @param {string} field @param {Value} typed @param {unknown} [again] */
  function value(field, typed, again) {
    run.add("value", { field, value: typed });
    if (again) run.tail.then(() => view.draw({ keepFocus: true }));
  }

  return {
    next,
    look,
    timeIsOver,
    value,
    back: () => run.add("back"),
    wasFinished: () => run.add("was-finished"),
    factsRead: () => run.add("facts-read"),
    turnsRead: () => run.add("turns-read"),
    lengthSure: (/** @type {Field} */ field, /** @type {string} */ key) => run.add("length-sure", { field: field.field, key }),
    typeAnew: (/** @type {Field} */ field) => /** @type {HTMLInputElement | null} */ (document.getElementById(`f-${field.field}`))?.select(),
  };
}
