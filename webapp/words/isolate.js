import { language } from "./words.js";

const LEFT_TO_RIGHT = "\u2066";
const END = "\u2069";

/**
 * A number with its sign and unit, kept in this order where the text around it runs from right to left:
 * "−1.25 D" never turns into "D 1.25−".
 * @param {string} text
 */
export function isolated(text) {
  return language.direction === "rtl" ? LEFT_TO_RIGHT + text + END : text;
}
