// At the review: a value is changed with its reason, each confirms, the account is sent.
import { askReason } from "./panel.js";

const CHANGES = ["It was misheard.", "It was typed wrongly.", "We looked again."];

/** @param {Parts} parts */
export function reviewController({ run, view, shell }) {
  /** @type {Set<string>} */
  const opened = new Set(); // fields that stand open, by name
  /** @type {Map<string, string | null>} */
  const whys = new Map(); // why what was called out is changed, by field

  /** @param {Field} field */
  function change(field) {
    /** @param {string | null} why */
    const open = (why) => {
      whys.set(field.field, why);
      opened.add(field.field);
      view.draw();
      view.toField(field);
    };
    const was = run.state.values[field.field];
    if (was === undefined || was === "") open(null);
    else askReason(`Change: ${field.label}`, "It was called out at the bedside. Why is it changed now?", CHANGES, open);
  }

  /** @param {Field} field @param {Value} to @param {unknown} [again] */
  function edit(field, to, again) {
    const why = whys.get(field.field) ?? null;
    if (why) run.add("edit", { field: field.field, to, why });
    else run.add("value", { field: field.field, value: to });
    opened.add(field.field);
    if (again) run.tail.then(() => view.draw({ keepFocus: true }));
  }

  /** @param {Person} person @param {Field[]} open */
  function confirm(person, open) {
    if (open.length) view.toField(open[0]);
    else run.add("confirm", { person: person.key });
  }

  async function send() {
    await run.send();
    await shell.outbox.look();
  }

  return { opened, change, edit, confirm, send, note: (/** @type {string} */ text) => run.add("note", { text }) };
}
