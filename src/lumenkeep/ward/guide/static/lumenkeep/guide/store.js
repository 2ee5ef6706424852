// A small wrapper round IndexedDB: one promise a call, every write flushed to disk unless
// it says otherwise. What lies here is the tablet's only copy until the server has it.

import { forgetNotes } from "./unwritten.js";

const NAME = "lumenkeep-guide";
const VERSION = 1;
/** @type {Record<string, IDBObjectStoreParameters>} */
const STORES = {
  runs: { keyPath: "run" },
  events: { keyPath: "n", autoIncrement: true },
  pulses: { keyPath: "run" },
  outbox: { keyPath: "run" },
  receipts: { keyPath: "run" },
  tablet: { keyPath: "id" },
};

/** @type {Promise<IDBDatabase> | null} */
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

/** @template T @param {IDBRequest<T>} request @returns {Promise<T>} */
const answer = (request) => new Promise((resolve, reject) => {
  request.onsuccess = () => resolve(request.result);
  request.onerror = () => reject(request.error);
});

/**
 * Write in one transaction; resolves only when the whole of it is on disk.
 * @template {IDBRequest | void} R
 * @param {StoreName[]} names
 * @param {(tx: IDBTransaction) => R} change
 * @param {"strict" | "relaxed"} [durability]
 */
async function write(names, change, durability = "strict") {
  const base = await open();
  const transaction = base.transaction(names, "readwrite", { durability });
  const done = new Promise((resolve, reject) => {
    transaction.oncomplete = resolve;
    transaction.onabort = () => reject(transaction.error);
  });
  const result = change(transaction);
  await done;
  return /** @type {IDBRequest | undefined} */ (result)?.result;
}

/**
 * @template T
 * @param {StoreName} name
 * @param {(store: IDBObjectStore) => IDBRequest<T>} ask
 * @returns {Promise<T>}
 */
async function read(name, ask) {
  const base = await open();
  return answer(ask(base.transaction(name).objectStore(name)));
}

/** @template {StoreName} N @param {N} name @param {Stores[N]} value */
export const keep = (name, value) => write([name], (tx) => tx.objectStore(name).put(value));
/**
 * @template {StoreName} N
 * @param {N} name
 * @param {string} key
 * @returns {Promise<Stores[N] | undefined>}
 */
export const one = (name, key) => read(name, (store) => store.get(key));
/** @template {StoreName} N @param {N} name @returns {Promise<Stores[N][]>} */
export const all = (name) => read(name, (store) => store.getAll());
/** @param {StoreName} name @param {string} key */
export const remove = (name, key) => write([name], (tx) => tx.objectStore(name).delete(key));

// ---------------------------------------------------------------- log

/**
 * Add an event to the log; nothing in it is ever changed.
 * @param {LogEvent} event @returns {Promise<LogEvent>}
 */
export async function append(event) {
  const n = await write(["events"], (tx) => tx.objectStore("events").add(event));
  return { ...event, n };
}

/** @param {string} run @returns {Promise<LogEvent[]>} */
export const eventsOf = (run) =>
  read("events", (store) => store.index("run").getAll(IDBKeyRange.only(run)));

/**
 * How far the time of a run had come. Four a second: a lost one costs a quarter second,
 * to the safe side, so these are not flushed one by one.
 * @param {string} run @param {number} t @param {number} wall
 */
export const pulse = (run, t, wall) =>
  write(["pulses"], (tx) => tx.objectStore("pulses").put({ run, t, wall }), "relaxed");

/**
 * Put the account into the outbox and say so in the log, both or neither.
 * @param {OutboxEntry} entry @param {LogEvent} event
 */
export function enqueue(entry, event) {
  return write(["events", "outbox"], (tx) => {
    tx.objectStore("outbox").put(entry);
    return tx.objectStore("events").add(event);
  });
}

/**
 * Take everything of a run off this tablet, leaving at most a receipt without a name.
 * @param {string} run @param {Receipt | null} [receipt]
 */
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

/**
 * This tablet's own number, made once.
 * @returns {Promise<string>}
 */
export async function tabletId() {
  const known = await one("tablet", "tablet");
  if (known) return /** @type {string} */ (known.number);
  const number = crypto.randomUUID();
  await keep("tablet", { id: "tablet", number });
  return number;
}
