// What a typed length means. The card in the bundle says it in numbers to compare with, for
// each way in which the arm may lie; nothing is known here of lines or errors. Pure.
import { asNumber, isUnknown, NUMBER } from "./values.js";

export const ARM = "chart-arm";
const NEVER = "";

/** @param {Field} field */
export const again = (field) => `${field.field}-again`;

/**
 * The field of a second measurement, by the other person.
 * @param {Field} field @returns {Field}
 */
export const secondOf = (field) => ({ ...field, field: again(field), label: "Second measurement, by the other person",
  required: true, previous: null, card: null });

/** @param {Card} card @param {RunState["values"]} values */
const armOf = (card, values) => card.arms[/** @type {string} */ (values[ARM])] ?? card.arms[NEVER];

/** @param {Card} card @param {CardArm} own @param {number} mm @returns {LengthState} */
function stateOf(card, own, mm) {
  if (mm < card.low || mm > card.high) return "impossible";
  return own.segments.find((segment) => mm <= segment.upto)?.state ?? "fine";
}

/**
 * What a length is: {state, then, says, meant}; null where nothing is typed or judged.
 * @param {Field} field
 * @param {Value} typed
 * @param {RunState["values"]} values
 * @returns {Judged | null}
 */
export function judged(field, typed, values) {
  const { card } = field;
  if (!card || isUnknown(typed) || !typed || !NUMBER.test(String(typed).trim())) return null;
  const mm = asNumber(typed);
  const own = armOf(card, values);
  const then = stateOf(card, own, mm);
  if (then === "fine") return { state: "fine", then, says: "", meant: null };
  const meant = meantBy(card, own, String(typed).trim(), mm);
  const isFar = card.far !== null && card.last !== null && Math.abs(mm - card.last) > card.far;
  const state = then !== "impossible" && (meant !== null || isFar) ? "unlikely" : then;
  return { state, then, says: saidOf(card, own, state, mm, meant), meant };
}

/**
 * A slip of the pen: another unit, or a digit typed twice; the nearest to the last length.
 * @param {Card} card @param {CardArm} own @param {string} typed @param {number} mm
 */
function meantBy(card, own, typed, mm) {
  const doubled = [...typed].flatMap((digit, i) => (i && digit === typed[i - 1] ? [Number(typed.slice(0, i) + typed.slice(i + 1))] : []));
  /** @param {number} one */
  const near = (one) => Math.abs(one - (card.last ?? one));
  const found = [mm * 10, mm / 10, ...doubled].map((one) => Math.round(one * 1e6) / 1e6)
    .filter((one) => Number.isInteger(one) && stateOf(card, own, one) === "fine")
    .sort((one, other) => near(one) - near(other) || one - other);
  return found[0] ?? null;
}

/**
 * The words of a state, filled in.
 * @param {Card} card
 * @param {CardArm} own
 * @param {LengthState} state
 * @param {number} mm
 * @param {number | null} [meant]
 */
export function saidOf(card, own, state, mm, meant = null) {
  const from = own.from ?? mm;
  /** @type {Record<string, any>} */
  const fills = { mm, low: card.low, high: card.high, last: card.last, suggest: meant, again: own.again, base: own.base ?? "",
    change: Math.floor(Math.abs(mm - from) * 10 + 0.5) / 10, way: mm > from ? "out" : "in" };
  /** @param {string | undefined} text */
  const fill = (text) => (text ?? "").replace(/\{(\w+)\}/g, (whole, name) => fills[name] ?? whole);
  const isSlip = ["impossible", "unlikely"].includes(state) && meant !== null;
  return [fill(card.words[state]), isSlip ? fill(card.words.suggest) : ""].filter(Boolean).join(" ");
}

/**
 * What stands at a length now: {kind, says}; null where there is nothing to say.
 * @param {Field} field @param {RunState} state @returns {LengthSaid | null}
 */
export function lengthNow(field, state) {
  const { card } = field;
  const typed = state.values[field.field];
  const first = judged(field, typed, state.values);
  if (!card || !first || first.state === "fine") return null;
  const key = `${typed} ${state.values[ARM] ?? ""}`;
  // That it cannot be stands at the field; here only what may have been meant.
  if (first.state === "impossible") {
    const says = card.words.suggest.replace("{suggest}", String(first.meant));
    return first.meant === null ? null : { kind: "impossible", says, meant: first.meant };
  }
  if (first.state === "unlikely" && state.sure[field.field] !== key) {
    return { kind: "ask", key, typed, says: first.says, meant: first.meant };
  }
  const own = armOf(card, state.values);
  if (first.then === "moved") return { kind: "moved", says: saidOf(card, own, "moved", asNumber(typed)) };
  const second = judged(field, state.values[again(field)], state.values);
  if (!second) return { kind: "again", says: saidOf(card, own, "measure-again", asNumber(typed)) };
  if (second.then === "fine") return { kind: "not-again", says: "The second measurement does not show it. Both are charted." };
  return { kind: "moved", says: saidOf(card, own, "moved", asNumber(state.values[again(field)])) };
}

/**
 * The fields of a step, with that of a second measurement where one is asked for.
 * @param {Field[]} fields @param {RunState} state
 */
export function withSecond(fields, state) {
  /** @param {Field} field */
  const isAsked = (field) => field.card && ["again", "not-again"].includes(lengthNow(field, state)?.kind ?? "");
  /** @param {Field} field */
  const isGiven = (field) => field.card && lengthNow(field, state)?.kind === "moved" && (state.values[again(field)] ?? "") !== "";
  return fields.flatMap((field) => (isAsked(field) || isGiven(field) ? [field, secondOf(field)] : [field]));
}

/**
 * Whether what was typed of a length still waits for an answer.
 * @param {Field} field @param {RunState} state
 */
export const mustAsk = (field, state) =>
  Boolean(field.card) && lengthNow(field, state)?.kind === "ask";

/**
 * Second measurements that were typed and are asked for no more, by name.
 * @param {Field[]} fields @param {RunState} state
 */
export const leftOver = (fields, state) => fields
  .filter((field) => field.card && withSecond([field], state).length === 1).map(again);
