// What of the plan stands at a step: the facts to be read together, the list to lay out, the
// agent with its swabs, seconds and area, the dressing. Every number comes from the bundle.
import { h } from "./el.js";
import { heldList } from "./band-view.js";
import { plural, seconds, widthOf } from "./words.js";

/**
 * The part of the plan that a step shows; null where it shows none.
 * @param {Step} doing @param {Bundle} bundle @param {RunState} state
 */
export function planPart(doing, bundle, state) {
  const rows = ROWS[doing.shows ?? ""]?.(bundle, state).filter((row) => row !== null) ?? [];
  const cautions = MINDS[doing.shows ?? ""]?.(bundle.plan) ?? [];
  if (!rows.length && !cautions.length) return null;
  return h("section", { class: `g-from-plan is-${doing.shows}`, "aria-label": "From the plan" },
    rows.length ? h("dl", {}, rows.map(([label, says]) => h("div", {}, h("dt", {}, label), h("dd", {}, says)))) : null,
    cautions.length ? h("ul", { class: "g-cautions" }, cautions.map((text) => h("li", {}, text))) : null);
}

/** @type {Record<string, (plan: Plan) => string[] | undefined>} */
const MINDS = { "facts": (plan) => plan.cautions, "scrub": (plan) => plan.skin?.cautions };
/** @type {Record<string, (bundle: Bundle, state: RunState) => PlanRow[]>} */
const ROWS = {
  "facts": (bundle, state) => [
    state.do_not_use.length ? ["Do not use the line", heldList(state.do_not_use)] : null,
    ...(bundle.facts ?? []).map(factRow),
    ...scrubRows(bundle),
    ...dryRows(bundle),
    ...dressingRows(bundle),
  ],
  "lay-out": (bundle) => bundle.lay_out.map((item) => [`${item.count} ×`, item.name + (item.spare ? ", spare, unopened" : "")]),
  "scrub": scrubRows,
  "dry": dryRows,
  "residue": ({ plan }) => (plan.skin?.residue_words ? [["Then", plan.skin.residue_words]] : []),
  "dressing": dressingRows,
};

/** @param {{ label: string, says: string, known: boolean }} fact @returns {PlanRow} */
function factRow({ label, says, known }) {
  return [label, known ? says : h("b", {}, says)];
}

/** @param {Bundle} bundle @returns {PlanRow[]} */
function scrubRows({ plan }) {
  const { skin } = plan;
  if (!skin) return [];
  return [
    ["Agent", h("b", {}, skin.label)],
    ["Scrub", `${scrubWords(skin)}; ${widthOf(skin.area_mm)}.`],
    skin.helper ? ["Assistant", skin.helper] : null,
  ];
}

/**
 * "3 swabs, 10 s each, 30 s together"
 * @param {Skin} skin
 */
export function scrubWords({ swabs, seconds_per_swab: each, scrub_s: whole }) {
  const said = [plural(swabs, "swab"), each ? `${seconds(each)} each` : null, whole ? `${seconds(whole)} together` : null];
  return said.filter(Boolean).join(", ");
}

/** @param {Bundle} bundle @returns {PlanRow[]} */
function dryRows({ plan }) {
  return plan.skin ? [["Dry", `At least ${seconds(plan.skin.dry_s)}. ${plan.skin.dry_judgement}`]] : [];
}

/** @param {Bundle} bundle @returns {PlanRow[]} */
function dressingRows({ plan: { put_on: on } }) {
  return on ? [["New dressing", h("span", {}, h("b", {}, on.label), on.stays_words ? `. ${on.stays_words}` : "")]] : [];
}
