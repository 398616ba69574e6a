// The glossary's two levels of limits: comparisons only.
import { fieldOf, plain, range } from "./format.js";
import { t } from "../words/words.js";

/** @typedef {import("./format.js").Field} Field */
/** @typedef {{level: "ok" | "unusual" | "impossible", message: string}} Verdict */

/** @type {Verdict} */
const FINE = { level: "ok", message: "" };

/**
 * Whether a number without a sign could mean either: minus is as usual as plus. Such a number is never
 * taken as plus; one whose usual values are all above zero is.
 * @param {string | Field} field
 * @returns {boolean}
 */
export function needsSign(field) {
  const { signed, lowest, highest, usual_low } = fieldOf(field);
  return signed && (lowest ?? 0) < 0 && (highest ?? 0) > 0 && (usual_low ?? 0) < 0;
}

/**
 * @param {number} value
 * @param {string | Field} field
 * @returns {Verdict}
 */
export function checkLimits(value, field) {
  const entry = fieldOf(field);
  const refusal = impossible(value, entry);
  if (refusal) return { level: "impossible", message: refusal };
  const doubt = unusual(value, entry);
  return doubt ? { level: "unusual", message: doubt } : FINE;
}

/**
 * @param {number} value
 * @param {Field} entry
 */
function impossible(value, entry) {
  if (entry.kind === "integer" && !Number.isInteger(value)) return t.elements.wholeNumber(entry.label);
  if (entry.lowest !== null && value < entry.lowest) {
    return t.elements.cannotBelowCheckDigits(entry.label, plain(entry.lowest, entry));
  }
  if (entry.highest !== null && value > entry.highest) {
    return t.elements.cannotAboveCheckDigits(entry.label, plain(entry.highest, entry));
  }
  return null;
}

/**
 * @param {number} value
 * @param {Field} entry
 */
function unusual(value, entry) {
  const { usual_low: low, usual_high: high } = entry;
  if (low === null || high === null || (value >= low && value <= high)) return null;
  return t.elements.unusualMost(range(low, high, entry));
}
