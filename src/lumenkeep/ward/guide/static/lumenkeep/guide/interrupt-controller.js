// What breaks the course of a run: a pause, a slip and its way back, a stop, giving up.
import { askReason } from "./panel.js";
import { hasTouched, isBare } from "./place.js";
import { askSlip } from "./slip-screen.js";
import { itemsInWords } from "./words.js";

const PAUSES = ["The child needs comfort.", "Something urgent elsewhere.", "Waiting for a third person."];
const STOPS = ["The child is not well.", "Something is lacking.", "The line is not as it should be."];
const NOT_NOW = ["The child is not ready.", "Somebody else is needed.", "The plan has changed.", "Prepared by mistake."];

/**
 * @param {Pick<Parts, "run" | "shell"> & { practice: { controls: { leave: () => unknown } } }} parts
 */
export function interruptController({ run, shell, practice }) {
  function pause() {
    const says = isBare(run.state, run.bundle) ? "The site is bare: nobody leaves it, and it is guarded. The time of the step stands still while you pause, also a drying time."
      : "The time of the step stands still while you pause.";
    askReason("Pause", says, PAUSES, (why) => run.add("pause", { why }));
  }

  function stop() {
    const { stop: asks, acts } = run.bundle;
    askReason("Stop, cover, call", asks.acts.map((id) => acts[id].says).join(" "), STOPS, (why) => run.add("stop", { why }));
  }

  function slip() {
    const { way } = run.state;
    if (way && way.kind !== "way-back") shell.say("You are already stopping: go on, and call.");
    else askSlip(run, (chosen) => run.add("slip", { slip: chosen }), stop);
  }

  function giveUp() {
    if (run.bundle.practice) practice.controls.leave();
    else if (hasTouched(run.state, run.bundle)) stop();
    else askReason("Give up this guide", "Nothing was done at the child. The reason is told to the server, and the guide goes off this tablet.", NOT_NOW, async (why) => {
      await run.giveUp(why);
      shell.outbox.look();
    });
  }

  /** @param {WayBack} row */
  const way = (row) => run.add("way", { kind: row.ending, acts: row.acts, then: row.then ?? null, needs: row.needs ?? {},
    ...(row.is_unfinished && { is_unfinished: true }) });

  return {
    pause,
    stop,
    slip,
    giveUp,
    way,
    resume: () => run.add("resume"),
    goOn: () => run.add("go-on"),
    withdraw: () => run.add("slip-withdrawn"),
    stepWas: (/** @type {boolean} */ finished) => run.add("step-was", { finished }),
    brought: (/** @type {Counts} */ items) => run.add("brought", { items, says: `A third person brought, unopened: ${itemsInWords(items, run.bundle)}.` }),
  };
}
