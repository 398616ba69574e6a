// How numbers look: fixed decimals, true minus, sign always where the quantity is signed,
// unit in the same text, decimals with the mark that is set. Formatting only: stored values are never rounded.
import { FIELDS } from "../contract.js";
import { inMark } from "./notation.js";
import { said } from "../words/core.js";
import { isolated } from "../words/isolate.js";
import { language, t } from "../words/words.js";

/**
 * @typedef {object} Field
 * @property {string} name
 * @property {string} label
 * @property {string} meaning
 * @property {"number"|"integer"|"choice"|"flag"|"code"|"date"|"instant"|"text"} kind
 * @property {string} unit
 * @property {number} decimals
 * @property {number|null} lowest
 * @property {number|null} highest
 * @property {number|null} usual_low
 * @property {number|null} usual_high
 * @property {boolean} signed
 * @property {Record<string, string>} choices
 */

export const MINUS = "\u2212";
const SPACE = "\u00a0";

/**
 * The glossary entry of a name; a wrong name is a mistake in the program.
 * @param {string | Field} field
 * @returns {Field}
 */
export function fieldOf(field) {
  if (typeof field !== "string") return field;
  const found = /** @type {Record<string, Field>} */ (FIELDS)[field];
  if (!found) throw new Error(t.elements.glossaryHasNoField(field));
  return inWords(found);
}

/** Entries in the language that is spoken; one entry is always the same object. @type {Map<string, Field>} */
const translated = new Map();

/** @param {Field} entry @returns {Field} */
function inWords(entry) {
  const known = translated.get(entry.name) ?? worded(entry);
  translated.set(entry.name, known);
  return known;
}

/** @param {Field} entry @returns {Field} */
function worded(entry) {
  const { label, meaning, unit, choices } = entry;
  const spoken = Object.fromEntries(Object.entries(choices).map(([key, word]) => [key, said(word)]));
  return { ...entry, label: said(label), meaning: said(meaning), unit: said(unit), choices: spoken };
}

/** Every entry of the glossary. @returns {Field[]} */
export const glossary = () => Object.keys(FIELDS).map(fieldOf);

/**
 * Digits only, no unit: true minus, and a plus sign when the quantity is signed.
 * @param {number} value
 * @param {string | Field} field
 * @param {number} [decimals] more than the glossary's, never fewer digits than asked
 */
export function figures(value, field, decimals) {
  return isolated(bare(value, fieldOf(field), decimals));
}

/** As `figures`, for a field that is typed into: nothing but the characters of the number.
 * @param {number} value @param {Field} entry @param {number} [decimals] */
function bare(value, entry, decimals) {
  const fixed = value.toFixed(decimals ?? entry.decimals);
  const negative = fixed.startsWith("-");
  const digits = negative ? fixed.slice(1) : fixed;
  const padded = entry.unit === "°" && !digits.includes(".") ? digits.padStart(3, "0") : digits;
  const shown = inMark(padded);
  if (!/[1-9]/.test(digits)) return shown;
  if (negative) return MINUS + shown;
  return entry.signed ? `+${shown}` : shown;
}

/** @param {string} unit */
function suffix(unit) {
  if (!unit) return "";
  return unit === "°" ? unit : SPACE + unit;
}

/**
 * "23.50 mm", "−1.25 D", "005°". Null becomes a dash with words for screen readers elsewhere.
 * @param {number | null | undefined} value
 * @param {string | Field} field
 */
export function plain(value, field) {
  if (value === null || value === undefined) return "–";
  const entry = fieldOf(field);
  return isolated(bare(value, entry) + suffix(entry.unit));
}

/**
 * As `plain`, with the sign shown whatever the glossary says.
 * @param {number | null | undefined} value
 * @param {string | Field} field
 */
export function signed(value, field) {
  return plain(value, { ...fieldOf(field), signed: true });
}

/**
 * "−0.90 to +0.40 D".
 * @param {number} low
 * @param {number} high
 * @param {string | Field} field
 */
export function range(low, high, field) {
  return t.elements.to(figures(low, field), plain(high, field));
}

/**
 * A fraction as whole per cent: 0.62 -> "62 %".
 * @param {number | null | undefined} fraction
 */
export function percent(fraction) {
  if (fraction === null || fraction === undefined) return "–";
  const form = new Intl.NumberFormat("en", { style: "percent", maximumFractionDigits: 0 });
  return isolated(form.format(fraction).replace("%", `${SPACE}%`));
}

/**
 * What an input shows for a stored value: at least the usual decimals, and every digit it has.
 * @param {number | null | undefined} value
 * @param {string | Field} field
 */
export function editable(value, field) {
  if (value === null || value === undefined) return "";
  const own = (String(value).split(".")[1] ?? "").length;
  const entry = fieldOf(field);
  return bare(value, entry, Math.max(own, entry.decimals));
}

/**
 * A stored value of any kind, as text.
 * @param {unknown} value
 * @param {string | Field} field
 */
export function anyText(value, field) {
  const entry = fieldOf(field);
  if (value === null || value === undefined || value === "") return t.elements.empty;
  if (typeof value === "boolean") return value ? t.elements.yes : t.elements.no;
  if (typeof value === "number") return plain(value, entry);
  if (entry.kind === "date") return day(String(value));
  return entry.choices[String(value)] ?? String(value);
}

/**
 * "24 Nov 2026, 09:14" in the phone's own time zone.
 * @param {string} instant
 */
export function when(instant) {
  const date = new Date(instant);
  if (Number.isNaN(date.valueOf())) return instant;
  return date.toLocaleString(language.tag, { day: "numeric", month: "short", year: "numeric", hour: "2-digit", minute: "2-digit" });
}

/**
 * A calendar day, "24 Nov 2026", whatever the phone's time zone.
 * @param {string} date ISO 8601, YYYY-MM-DD
 */
export function day(date) {
  const at = new Date(`${date}T00:00:00Z`);
  if (Number.isNaN(at.valueOf())) return date;
  return at.toLocaleDateString(language.tag, { day: "numeric", month: "short", year: "numeric", timeZone: "UTC" });
}
