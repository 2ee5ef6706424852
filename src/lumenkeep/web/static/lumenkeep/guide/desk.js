// What each control of an open run does: it writes an event, and the screen follows.
import { BOUNCE_MS } from "./hands.js";
import { askMenu } from "./menu.js";
import { askMoreWays } from "./more-ways.js";
import { heldList, showBand } from "./band.js";
import { askReason, isPanelOpen, openPanel } from "./panel.js";
import { askSlip, slipScreen } from "./slip-screen.js";
import { hearFacts } from "./facts.js";
import { holds, mustBeKnown } from "./holds.js";
import { askWhatNow, summaryScreen } from "./practice-screen.js";
import { thrownNow } from "./practice.js";
import { doingNow, hasTouched, isBare } from "./place.js";
import { readyScreen } from "./ready-screen.js";
import { offScreen, pausedScreen, sentScreen, waitingScreen } from "./rest-screens.js";
import { reviewScreen } from "./review-screen.js";
import { leftMs } from "./span.js";
import { stepScreen } from "./step-screen.js";
import * as store from "./store.js";
import { itemsInWords } from "./words.js";
import { button, h } from "./el.js";

const EARLY = ["It was timed by another clock.", "The child could bear no more.", "The child is in danger."];
const PAUSES = ["The child needs comfort.", "Something urgent elsewhere.", "Waiting for a third person."];
const STOPS = ["The child is not well.", "Something is lacking.", "The line is not as it should be."];
const CHANGES = ["It was misheard.", "It was typed wrongly.", "We looked again."];
const ONLY_DRESSED = "Nothing goes through the line: it is only dressed.";
const KNOWN = ["The prescriber knows, and wants it done.", "This is done to mend it."];
const NOT_NOW = ["The child is not ready.", "Somebody else is needed.", "The plan has changed.", "Prepared by mistake."];
// These change what is typed, not which screen is right; drawing anew would move the caret.
const QUIET = new Set(["value", "edit", "note", "jump"]);
const STAYS = new Set(["step-was", "facts", "facts-read", "turns-read", "hold-known", "length-sure", "brought", "early", "confirm", "faults", "facts-changed", "queued"]);

export class Desk {
  constructor(run, hands) {
    this.run = run;
    this.hands = hands;
    this.opened = new Set();
    this.ticked = new Set();
    this.sending = { status: "waiting" };
    this.shownAt = 0;
    this.whys = new Map();
    this.ui = this.controls();
  }

  get state() {
    return this.run.state;
  }

  async begin() {
    this.draw();
    await this.takeBack();
    if (this.state.phase === "ready") {
      this.askFacts();
      if (!this.run.bundle.practice) askMoreWays(this.run);
    } else this.askFactsAtStep();
  }

  // ------------------------------------------------------------- what is shown

  changed(type) {
    const screen = this.hands.screen();
    if (type === "not-kept") this.sayNotKept();
    else if (QUIET.has(type)) screen?.tick(this.run.clock.t());
    else this.draw({ keepFocus: STAYS.has(type) });
    if (!STAYS.has(type) && !QUIET.has(type) && type !== "not-kept") this.askFactsAtStep();
  }

  /** The disk is full, or broken: nothing goes on as if it were kept. */
  sayNotKept() {
    openPanel("The tablet could not keep this", () => h("p", {}, "Try once more. If it stays so, go on by the change plan on paper and chart by hand: what was kept so far is still here."));
  }

  draw(how) {
    const next = this.screenNow();
    showBand(this.run.bundle, this.state);
    if (!how?.keepFocus) this.shownAt = performance.now();
    this.hands.show(next, how);
    if (next.says && !how?.keepFocus) this.hands.say(next.says);
  }

  screenNow() {
    const { state, run, ui } = this;
    if (state.phase === "ready") return readyScreen(run, ui);
    if (state.phase === "review" && run.bundle.practice) return summaryScreen(run, ui);
    if (state.phase === "review") return reviewScreen(run, ui);
    if (state.phase === "waiting" || state.phase === "given-up") return waitingScreen(run, ui);
    if (state.slip) return slipScreen(run, ui);
    if (state.paused) return pausedScreen(run, ui);
    return state.off ? offScreen(run, ui) : stepScreen(run, ui);
  }

  // ------------------------------------------------------------- on each beat

  beat() {
    const { run } = this;
    if (!run.bundle.practice || isPanelOpen() || run.state.off || run.state.paused) return;
    const thrown = thrownNow(run.state, run.bundle, run.clock.t());
    if (thrown) askWhatNow(thrown, run, (answer) => this.pick(thrown, answer));
  }

  async pick(thrown, answer) {
    await this.run.add("picked", { ...thrown, is_right: answer.is_right, chose: answer.says });
    await this.run.add("slip", { slip: thrown.slip });
  }

  // ------------------------------------------------------------- the child's facts

  async askFacts() {
    const heard = await hearFacts(this.run.bundle, this.state.facts.mark);
    if (["ready", "steps"].includes(this.state.phase)) await this.run.add("facts", heard);
  }

  async askFactsAtStep() {
    const { state, run } = this;
    const doing = doingNow(state, run.bundle);
    const span = state.span;
    if (!doing?.checks_facts || span.facts || this.asked === span.began_t) return;
    this.asked = span.began_t;
    await this.askFacts();
  }

  // ------------------------------------------------------------- sending

  async heard(found) {
    this.sending = found;
    if (found.status === "sent") {
      this.hands.show(sentScreen(await store.one("receipts", this.run.bundle.run)));
      return;
    }
    await this.takeBack();
    if (["waiting", "given-up"].includes(this.state.phase)) this.draw({ keepFocus: true });
  }

  /** What the chart refused comes back to the review, with what is wrong at its field. */
  async takeBack() {
    const entry = await store.one("outbox", this.run.bundle.run);
    if (!entry?.halted || this.state.phase !== "waiting") return;
    await store.remove("outbox", this.run.bundle.run);
    if (entry.status === "faulty") await this.run.add("faults", { faults: entry.detail.faults });
    else await this.run.add("facts-changed", { mark: entry.detail.mark, changed: entry.detail.changed });
  }

  // ------------------------------------------------------------- the controls

  async next() {
    await this.run.tail; // what was typed a moment before counts
    this.typedOut();
    const now = holds(this.state, this.run.bundle, this.run.clock.t());
    const first = now[0];
    if (!first) {
      if (performance.now() - this.shownAt > BOUNCE_MS) this.pass("next");
      return;
    }
    ({ "value": () => this.toField(first.field), "time": () => this.askEarly(first.left),
      "fault": () => this.toField(first.field, "That cannot be"), "length": () => this.toLength(first.field),
      "look": () => this.toId("look-yes", "First look, then say: dry, or still wet."),
      "do-not-use": () => this.askKnown(() => this.hands.say("Known and written down.")),
      "facts-asked": () => this.hands.say("Looking at the chart."),
      "plan-turned": () => this.toId("turned-head", "Read first: what was found changes the plan."),
      "facts-changed": () => this.toId("step-head", "Read first what has changed.") })[first.kind]();
  }

  /** A second press that comes before the disk has answered still meets the old screen. */
  pass(type, data) {
    this.shownAt = performance.now();
    return this.run.add(type, data);
  }

  toField(field, words = "Still to chart") {
    const box = document.querySelector(`[data-field="${field.field}"]`);
    this.hands.say(`${words}: ${field.label}`);
    (box?.querySelector("input:not([type=hidden]), textarea") ?? box)?.focus();
  }

  /** Whoever goes on has typed the number out: now it is judged. */
  typedOut() {
    if (document.activeElement?.inputMode === "decimal") document.activeElement.blur();
    this.hands.screen()?.tick(this.run.clock.t());
  }

  toLength(field) {
    if (document.getElementById("length-sure")) this.toId("length-sure", `Is it right? ${field.label}`);
    else this.toField(field, "That cannot be");
  }

  toId(id, words) {
    this.hands.say(words);
    document.getElementById(id)?.focus();
  }

  askEarly(left) {
    this.early = askReason(`${Math.ceil(left / 1000)} s are still missing`, "Going on early is charted, with the reason.", EARLY, async (reason) => {
      // While the reason was being found the time may have run out: then nothing is early.
      if (leftMs(this.state.span, this.run.clock.t()) > 0) await this.run.add("early", { reason });
      if (!holds(this.state, this.run.bundle, this.run.clock.t()).length) await this.run.add("next");
    });
  }

  async look(answer) {
    const doing = doingNow(this.state, this.run.bundle);
    if (!doing?.look || performance.now() - this.shownAt < BOUNCE_MS) return;
    const left = leftMs(this.state.span, this.run.clock.t());
    if (left > 0) {
      this.hands.say(`First the time: ${Math.ceil(left / 1000)} s more.`);
      return;
    }
    await this.pass("look", { answer });
    if (answer === "yes" && !holds(this.state, this.run.bundle, this.run.clock.t()).length) await this.run.add("next");
  }

  pause() {
    const bare = isBare(this.state, this.run.bundle);
    const says = bare ? "The site is bare: nobody leaves it, and it is guarded. The time of the step stands still while you pause, also a drying time."
      : "The time of the step stands still while you pause.";
    askReason("Pause", says, PAUSES, (why) => this.run.add("pause", { why }));
  }

  stop() {
    const { stop, acts } = this.run.bundle;
    askReason("Stop, cover, call", stop.acts.map((id) => acts[id].says).join(" "), STOPS, (why) => this.run.add("stop", { why }));
  }

  slip() {
    if (this.state.way && this.state.way.kind !== "way-back") this.hands.say("You are already stopping: go on, and call.");
    else askSlip(this.run, (slip) => this.run.add("slip", { slip }), () => this.stop());
  }

  /** A line that is not to be used: whoever goes on says that she knows, and why. */
  askKnown(then) {
    const says = h("span", {}, heldList(this.state.do_not_use), "To go on, say that you know, and why. It is charted.");
    const reasons = this.run.bundle.steps.some((step) => step.opens_line) ? KNOWN : [ONLY_DRESSED, ...KNOWN];
    askReason("Do not use the line", says, reasons, async (why) => {
      await this.run.add("hold-known", { why });
      then();
    });
  }

  beginRun(unticked) {
    if (mustBeKnown(this.state, this.run.bundle).length) return this.askKnown(() => this.beginRun(unticked));
    return this.beginTicked(unticked);
  }

  beginTicked(unticked) {
    const add = () => this.run.add("begun", { unticked });
    if (!unticked.length) add();
    else {
      openPanel("Not everything is ticked", (close) => h("div", {},
        h("ul", { class: "g-happened" }, unticked.map((name) => h("li", {}, name))),
        h("p", {}, "Nothing can be fetched later. Begun like this, it is charted that these were not ticked."),
        button("Begin all the same", () => { close(); add(); })), { closes: "Back to the list" });
    }
  }

  giveUp() {
    const { run } = this;
    if (run.bundle.practice) this.ui.leave();
    else if (hasTouched(this.state, run.bundle)) this.stop();
    else askReason("Give up this guide", "Nothing was done at the child. The reason is told to the server, and the guide goes off this tablet.", NOT_NOW, async (why) => {
      await run.giveUp(why);
      this.hands.outbox.look();
    });
  }

  change(field) {
    const open = (why) => {
      this.whys.set(field.field, why);
      this.opened.add(field.field);
      this.draw();
      this.toField(field);
    };
    const was = this.state.values[field.field];
    if (was === undefined || was === "") open(null);
    else askReason(`Change: ${field.label}`, "It was called out at the bedside. Why is it changed now?", CHANGES, open);
  }

  edit(field, to, again) {
    const why = this.whys.get(field.field) ?? null;
    this.run.add(why ? "edit" : "value", why ? { field: field.field, to, why } : { field: field.field, value: to });
    this.opened.add(field.field);
    if (again) this.run.tail.then(() => this.draw({ keepFocus: true }));
  }

  confirm(person, open) {
    if (open.length) this.toField(open[0]);
    else this.run.add("confirm", { person: person.key });
  }

  controls() {
    const { run } = this;
    return {
      opened: this.opened,
      ticked: this.ticked,
      sending: () => this.sending,
      begin: (unticked = []) => this.beginRun(unticked),
      next: () => this.next(),
      back: () => run.add("back"),
      slip: () => this.slip(),
      stop: () => this.stop(),
      pause: () => this.pause(),
      look: (answer) => this.look(answer),
      resume: () => run.add("resume"),
      goOn: () => run.add("go-on"),
      withdraw: () => run.add("slip-withdrawn"),
      wasFinished: () => run.add("was-finished"),
      way: (row) => run.add("way", { kind: row.ending, acts: row.acts, then: row.then ?? null, needs: row.needs ?? {},
        ...(row.is_unfinished && { is_unfinished: true }) }),
      stepWas: (finished) => run.add("step-was", { finished }),
      brought: (items) => run.add("brought", { items, says: `A third person brought, unopened: ${itemsInWords(items, run.bundle)}.` }),
      factsRead: () => run.add("facts-read"),
      turnsRead: () => run.add("turns-read"),
      value: (field, value, again) => {
        run.add("value", { field, value });
        if (again) run.tail.then(() => this.draw({ keepFocus: true }));
      },
      redraw: () => this.draw({ keepFocus: true }),
      lengthSure: (field, key) => run.add("length-sure", { field: field.field, key }),
      typeAnew: (field) => document.getElementById(`f-${field.field}`)?.select(),
      note: (text) => run.add("note", { text }),
      change: (field) => this.change(field),
      edit: (field, to, again) => this.edit(field, to, again),
      confirm: (person, open) => this.confirm(person, open),
      giveUp: () => this.giveUp(),
      menu: () => askMenu(this),
      send: async () => {
        await run.send();
        await this.hands.outbox.look();
      },
      hurry: () => this.hands.outbox.hurry(),
      timeIsOver: (doing) => {
        this.early?.close();
        this.hands.say(doing.look ? "The time is over. Now look." : "The time is over.");
        navigator.vibrate?.(200);
      },
      again: async () => { await store.forget(run.bundle.run); location.hash = "#practice"; },
      leave: async () => { await store.forget(run.bundle.run); location.hash = ""; },
    };
  }
}
