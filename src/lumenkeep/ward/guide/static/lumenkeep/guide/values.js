// What was called out, typed and read again. Pure.

/**
 * The value of a field: what was typed, else what the bundle fills in beforehand.
 * @param {RunState} state @param {Field} field
 */
export const fieldValue = (state, field) => state.values[field.field] ?? field.value ?? null;

/** @param {Value} value @returns {value is NotKnown} */
export const isUnknown = (value) => value !== null && typeof value === "object" && "unknown" in value;

/**
 * A value in words, as the review shows it.
 * @param {Field} field @param {Value} value
 */
export function valueInWords(field, value) {
  if (isUnknown(value)) return `Not known: ${value.unknown}`;
  if (value === undefined || value === null || value === "" || (Array.isArray(value) && value.length === 0)) return "";
  /** @param {string | number} one */
  const label = (one) => field.choices?.find((choice) => choice.value === one)?.label ?? String(one);
  if (Array.isArray(value)) return value.map(label).join(", ");
  if (field.choices?.length) return label(value);
  return field.type === "mm" ? `${value} mm` : String(value);
}

export const NUMBER = /^\d+([.,]\d+)?$/;
export const NUMBERS = ["mm", "count", "g", "length", "mass"];

/**
 * What is wrong with a number as typed; null when it can be one, or is still empty.
 * @param {Field} field @param {Value} value
 */
export function faultOf(field, value) {
  if (!NUMBERS.includes(field.type) || isUnknown(value) || !value) return null;
  if (!NUMBER.test(String(value).trim())) return "Type a number, as in 42.";
  const number = asNumber(value);
  const { low, high } = field;
  const isOutside = (low != null && number < low) || (high != null && number > high);
  return isOutside ? `That cannot be: ${low ?? 0} to ${high} is possible. Look again, and type it anew.` : null;
}

/** @param {Value} value */
export const asNumber = (value) => Number(String(value).trim().replace(",", "."));

/**
 * Numbers go to the server as numbers; what cannot be read as one goes as it was typed.
 * @param {Field | undefined} field @param {Value} value
 */
export function asSent(field, value) {
  if (!field || !NUMBERS.includes(field.type) || isUnknown(value) || faultOf(field, value)) return value;
  return value === "" ? null : asNumber(value);
}
