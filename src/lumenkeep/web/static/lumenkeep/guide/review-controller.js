// At the review: a value is changed with its reason, each confirms, the account is sent.
import { askReason } from "./panel.js";

const CHANGES = ["It was misheard.", "It was typed wrongly.", "We looked again."];

export function reviewController({ run, view, shell }) {
  const opened = new Set(); // fields that stand open, by name
  const whys = new Map(); // why what was called out is changed, by field

  function change(field) {
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

  function edit(field, to, again) {
    const why = whys.get(field.field) ?? null;
    run.add(why ? "edit" : "value", why ? { field: field.field, to, why } : { field: field.field, value: to });
    opened.add(field.field);
    if (again) run.tail.then(() => view.draw({ keepFocus: true }));
  }

  function confirm(person, open) {
    if (open.length) view.toField(open[0]);
    else run.add("confirm", { person: person.key });
  }

  async function send() {
    await run.send();
    await shell.outbox.look();
  }

  return { opened, change, edit, confirm, send, note: (text) => run.add("note", { text }) };
}
