// The run that is open: what each of its controls does, and what it shows then. A control
// writes an event; the screen follows from what the log comes to. The controls themselves
// lie in the other controllers, by what they are for.
import { beginController } from "./begin-controller.js";
import { factsController } from "./facts-controller.js";
import { interruptController } from "./interrupt-controller.js";
import { askMenu } from "./menu.js";
import { askMoreWays } from "./more-ways.js";
import { practiceController } from "./practice-controller.js";
import { reviewController } from "./review-controller.js";
import { isOnlyTyped, RunView, staysInPlace } from "./run-view.js";
import { sendingController } from "./sending-controller.js";
import { stepController } from "./step-controller.js";

export class RunController {
  /** @param {Run} run @param {Shell} shell */
  constructor(run, shell) {
    this.run = run;
    this.shell = shell;
    this.view = new RunView(run, shell);
    this.facts = factsController(this);
    this.sending = sendingController(this);
    this.practice = practiceController(this);
    /** @type {Controls} */
    this.controls = {
      ...beginController(this),
      ...stepController(this),
      ...interruptController(this),
      ...reviewController(this),
      ...this.sending.controls,
      ...this.practice.controls,
      menu: () => askMenu(run, this.controls),
      redraw: () => this.view.draw({ keepFocus: true }),
    };
    this.view.controls = this.controls;
  }

  get state() {
    return this.run.state;
  }

  async begin() {
    this.view.draw();
    await this.sending.takeBack();
    if (this.state.phase === "ready") {
      this.facts.ask();
      if (!this.run.bundle.practice) askMoreWays(this.run);
    } else this.facts.askAtStep();
  }

  /**
   * An event is in the log.
   * @param {Told} type
   */
  changed(type) {
    this.view.changed(type);
    if (!staysInPlace(type) && !isOnlyTyped(type) && type !== "not-kept") this.facts.askAtStep();
  }

  beat() {
    this.practice.beat();
  }

  /**
   * What became of an account that was sent.
   * @param {Sending} found
   */
  heard(found) {
    return this.sending.heard(found);
  }
}
