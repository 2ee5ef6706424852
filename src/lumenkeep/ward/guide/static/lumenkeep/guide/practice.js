// Practice: which slip is thrown in now, what may be answered, and what is said at the end.
import { stepHere } from "./place.js";
import { creditedMs } from "./span.js";
import { actsOf, followed, rowFor } from "./ways.js";
import { lasting, plural, whatIsOpen } from "./words.js";

const AFTER_MS = 1500;
const ANSWERS = 4;
const MOST_ACTS = 5;

/**
 * The slip that happens now, null where none does. Each happens once.
 * @param {RunState} state @param {Bundle} bundle @param {number} t
 */
export function thrownNow(state, bundle, t) {
  if (!bundle.practice || state.way || state.slip || !state.span) return null;
  const step = stepHere(state, bundle).id;
  const met = new Set(state.picks.map((one) => `${one.step} ${one.slip}`));
  const found = bundle.practice.slips.find((one) => one.step === step && !met.has(`${one.step} ${one.slip}`));
  return found && creditedMs(state.span, t) >= AFTER_MS ? found : null;
}

export const GO_ON = "Nothing: go on as planned.";
export const STOP = "Stop, cover, call.";

/**
 * What the learner may choose among; one of them is right.
 * @param {Thrown} thrown @param {RunState} state @param {Bundle} bundle
 */
export function answersFor(thrown, state, bundle) {
  // Thrown in while the step is being done: the way is that of an unfinished step.
  const right = followed(rowFor(state, bundle, thrown.slip), {});
  const others = (bundle.ways[thrown.step] ?? []).filter((row) => row.ending === "way-back" && row.slip !== thrown.slip);
  const words = new Set([waysWords(right, bundle), GO_ON, STOP]);
  for (const row of others) if (words.size < ANSWERS + 1) words.add(waysWords(row, bundle));
  const answers = [...words].slice(0, ANSWERS).map((says) => ({ says, is_right: says === waysWords(right, bundle) }));
  return turned(answers, (bundle.practice?.seed ?? 0) + thrown.step.length + state.picks.length);
}

/**
 * A way back in one sentence, so that ways can be told apart before they are opened.
 * @param {WayBack} row @param {Bundle} bundle
 */
export function waysWords(row, bundle) {
  if (row.ending === "stop") return STOP;
  if (row.ending === "leave") return "Leave asepsis: the child first.";
  // That it is said aloud begins every way, and tells none apart.
  const acts = actsOf(row, bundle).filter((act) => act.verb !== "say").map((act) => briefly(act.says));
  if (!acts.length) return GO_ON;
  const more = acts.length - MOST_ACTS;
  return acts.slice(0, MOST_ACTS).join(" ") + (more > 0 ? ` And ${plural(more, "act")} more.` : "");
}

/**
 * The first part of what an act says: enough to tell ways apart.
 * @param {string} says
 */
const briefly = (says) => `${says.split(/[:;]/)[0].replace(/\.$/, "")}.`;

/**
 * The right answer does not always stand in the same place.
 * @param {Answer[]} answers @param {number} by
 */
const turned = (answers, by) => {
  const at = ((by % answers.length) + answers.length) % answers.length;
  return [...answers.slice(at), ...answers.slice(0, at)];
};

/** @param {RunState} state @param {Bundle} bundle */
export function summary(state, bundle) {
  const thrown = bundle.practice?.slips.length ?? 0;
  const right = state.picks.filter((one) => one.is_right).length;
  const early = state.done.filter((one) => one.early);
  const own = state.slips.length - state.picks.length;
  const took = state.done.reduce((sum, one) => sum + one.seconds, 0);
  return [
    `${plural(state.done.length, "step")} in ${lasting(took * 1000)}, ${whatIsOpen(bundle)} for ${lasting(state.bare_ms)}.`,
    `${plural(thrown, "slip")} thrown in: ${state.picks.length} met, ${right} answered rightly at once.`,
    ...state.picks.filter((one) => !one.is_right).map((one) => `Look again at: ${bundle.slips[one.slip]?.says} You chose “${one.chose}”`),
    own > 0 ? `${plural(own, "slip")} said by yourselves.` : null,
    early.length ? `${plural(early.length, "step")} left early: ${early.map((one) => one.early).join("; ")}.` : "No time was cut short.",
    `Looked ${plural(state.done.reduce((sum, one) => sum + one.looked.length, 0), "time")} whether it was dry.`,
  ].filter(Boolean);
}

