// A small wrapper round IndexedDB: one promise a call, every write flushed to disk unless
// it says otherwise. What lies here is the tablet's only copy until the server has it.

import { forgetNotes } from "./pending.js";

const NAME = "lumenkeep-guide";
const VERSION = 1;
const STORES = {
  runs: { keyPath: "run" },
  events: { keyPath: "n", autoIncrement: true },
  pulses: { keyPath: "run" },
  outbox: { keyPath: "run" },
  receipts: { keyPath: "run" },
  tablet: { keyPath: "id" },
};

let opening = null;

function open() {
  opening ??= new Promise((resolve, reject) => {
    const request = indexedDB.open(NAME, VERSION);
    request.onupgradeneeded = () => {
      for (const [name, options] of Object.entries(STORES)) {
        const store = request.result.createObjectStore(name, options);
        if (name === "events") store.createIndex("run", "run");
      }
    };
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
  return opening;
}

const answer = (request) => new Promise((resolve, reject) => {
  request.onsuccess = () => resolve(request.result);
  request.onerror = () => reject(request.error);
});

/** Write in one transaction; resolves only when the whole of it is on disk. */
async function write(names, change, durability = "strict") {
  const base = await open();
  const transaction = base.transaction(names, "readwrite", { durability });
  const done = new Promise((resolve, reject) => {
    transaction.oncomplete = resolve;
    transaction.onabort = () => reject(transaction.error);
  });
  const result = change(transaction);
  await done;
  return result?.result;
}

async function read(name, ask) {
  const base = await open();
  return answer(ask(base.transaction(name).objectStore(name)));
}

export const keep = (name, value) => write([name], (tx) => tx.objectStore(name).put(value));
export const one = (name, key) => read(name, (store) => store.get(key));
export const all = (name) => read(name, (store) => store.getAll());
export const remove = (name, key) => write([name], (tx) => tx.objectStore(name).delete(key));

// ---------------------------------------------------------------- log

/** Add an event to the log; nothing in it is ever changed. */
export async function append(event) {
  const n = await write(["events"], (tx) => tx.objectStore("events").add(event));
  return { ...event, n };
}

export const eventsOf = (run) =>
  read("events", (store) => store.index("run").getAll(IDBKeyRange.only(run)));

/** How far the time of a run had come. Four a second: a lost one costs a quarter second,
 *  to the safe side, so these are not flushed one by one. */
export const pulse = (run, t, wall) =>
  write(["pulses"], (tx) => tx.objectStore("pulses").put({ run, t, wall }), "relaxed");

/** Put the account into the outbox and say so in the log, both or neither. */
export function enqueue(entry, event) {
  return write(["events", "outbox"], (tx) => {
    tx.objectStore("outbox").put(entry);
    return tx.objectStore("events").add(event);
  });
}

/** Take everything of a run off this tablet, leaving at most a receipt without a name. */
export function forget(run, receipt = null) {
  forgetNotes(run);
  return write(["runs", "events", "pulses", "outbox", "receipts"], (tx) => {
    for (const name of ["runs", "pulses", "outbox"]) tx.objectStore(name).delete(run);
    if (receipt) tx.objectStore("receipts").put(receipt);
    const walk = tx.objectStore("events").index("run").openKeyCursor(IDBKeyRange.only(run));
    walk.onsuccess = () => {
      const found = walk.result;
      if (!found) return;
      tx.objectStore("events").delete(found.primaryKey);
      found.continue();
    };
  });
}

/** This tablet's own number, made once. */
export async function tabletId() {
  const known = await one("tablet", "tablet");
  if (known) return known.number;
  const number = crypto.randomUUID();
  await keep("tablet", { id: "tablet", number });
  return number;
}
