// Numbers in words, as one colleague says them to another. Pure.

/** @param {number} count @param {string} one */
export const plural = (count, one, many = `${one}s`) => `${count} ${count === 1 ? one : many}`;

/**
 * "40 s", "2 min 10 s", "1 h 05 min".
 * @param {number} ms
 */
export function lasting(ms) {
  const seconds = Math.floor(ms / 1000);
  if (seconds < 60) return `${seconds} s`;
  const minutes = Math.floor(seconds / 60);
  if (minutes < 60) return seconds % 60 ? `${minutes} min ${seconds % 60} s` : `${minutes} min`;
  return `${Math.floor(minutes / 60)} h ${String(minutes % 60).padStart(2, "0")} min`;
}

/**
 * Seconds as they are counted at the bedside: "30 s", "2 min".
 * @param {number} count
 */
export const seconds = (count) => lasting(count * 1000);

/**
 * A width of skin, as a ruler shows it: "5.1 to 7.6 cm across".
 * @param {[number, number]} area
 */
export const widthOf = ([low, high]) =>
  `${low === high ? low / 10 : `${low / 10} to ${high / 10}`} cm across`;

/**
 * "10:15" on the ward's clock.
 * @param {Instant} at @param {string} zone
 */
export const clockTime = (at, zone) =>
  new Intl.DateTimeFormat("en-GB", { hour: "2-digit", minute: "2-digit", timeZone: zone }).format(new Date(at));

/** @param {Instant} at @param {string} [zone] */
export const dayTime = (at, zone) =>
  new Intl.DateTimeFormat("en-GB", { weekday: "short", day: "numeric", month: "short", hour: "2-digit",
    minute: "2-digit", timeZone: zone }).format(new Date(at));

/**
 * "1 sterile gloves 6.5, 2 sterile gauze".
 * @param {Counts} items @param {Bundle} bundle
 */
export const itemsInWords = (items, bundle) =>
  Object.entries(items).map(([id, count]) => `${count} × ${bundle.items[id]?.name ?? id}`).join(", ");

/**
 * What lies open to the room: no skin is bared where only a hub is opened.
 * @param {Bundle} bundle
 */
export const whatIsOpen = (bundle) =>
  (["connector-change", "set-change"].includes(bundle.procedure.id) ? "hub open" : "site bare");

/** @param {Bundle} bundle @param {number} ms */
export const openFor = (bundle, ms) => {
  const what = whatIsOpen(bundle);
  return `${what[0].toUpperCase()}${what.slice(1)} for ${lasting(ms)}`;
};

export const ROLES = { operator: "Operator", assistant: "Assistant" };
/** @type {Record<string, string>} */
const WHO = { operator: "Operator", assistant: "Assistant", both: "Both", everyone: "Everyone", near: "Everyone", child: "Child and family" };

/** @param {string} actor */
export const who = (actor) => WHO[actor] ?? "Both";

/**
 * Whether this half does the step; the other half watches meanwhile.
 * @param {Step} doing @param {Role} role
 */
export const does = (doing, role) =>
  doing.actor === role || !["operator", "assistant"].includes(doing.actor);
