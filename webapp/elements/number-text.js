// From typed text to a number: comma and dot both separate decimals, every dash that a keyboard
// can give is a minus, and nothing is ever dropped in silence.
import { t } from "../words/words.js";

/** @typedef {{state: "empty"} | {state: "number", value: number} | {state: "error", message: string}} Reading */

const MINUSES = /^[-\u2212\u2010\u2011\u2012\u2013\ufe63\uff0d]/;
const SEPARATOR = /[.,\u066b\uff0c\uff0e]/g;

/**
 * Whether digits other than 0 stand there without a sign.
 * @param {string} text
 * @returns {boolean}
 */
export function lacksSign(text) {
  const trimmed = text.trim();
  return /[1-9]/.test(trimmed) && !MINUSES.test(trimmed) && !trimmed.startsWith("+");
}

/**
 * The same digits with the sign that was asked for.
 * @param {string} text @param {"+" | "\u2212"} sign @returns {string}
 */
export function withSign(text, sign) {
  const trimmed = text.trim();
  return sign + (MINUSES.test(trimmed) || trimmed.startsWith("+") ? trimmed.slice(1) : trimmed);
}

/**
 * @param {string} text
 * @returns {Reading}
 */
export function readNumber(text) {
  const trimmed = text.trim();
  if (trimmed === "") return { state: "empty" };
  const negative = MINUSES.test(trimmed);
  const digits = negative || trimmed.startsWith("+") ? trimmed.slice(1).trim() : trimmed;
  const message = fault(digits);
  if (message) return { state: "error", message };
  const size = Number(digits.replace(SEPARATOR, "."));
  return { state: "number", value: negative && size !== 0 ? Number(`-${size}`) : size };
}

/**
 * @param {string} digits
 * @returns {string | null}
 */
function fault(digits) {
  const separators = digits.match(SEPARATOR)?.length ?? 0;
  if (separators > 1) return t.elements.hasDecimalSeparatorsLeave(digits, separators);
  const rest = digits.replace(SEPARATOR, "");
  if (MINUSES.test(rest) || rest.includes("+")) return t.elements.thereMoreThanOne;
  const stray = rest.match(/[^0-9]/);
  if (stray) return t.elements.notPartNumberType(stray[0]);
  if (rest === "") return t.elements.digitsMissingTypeNumber;
  if (/^[^0-9]/.test(digits)) return t.elements.putBeforeSeparator;
  if (/[^0-9]$/.test(digits)) return t.elements.digitsMissingAfterSeparator;
  return null;
}
