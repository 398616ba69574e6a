// What the calculations and their glossary say, in the language that is spoken.
import { language } from "./words.js";

/** How many numbers the core is told the plural category of; larger ones repeat the last hundred. */
const COUNTED = 200;

/** A label, meaning or choice of the glossary. @param {string} text */
export const said = (text) => language.core.texts[text] ?? text;

/** What the core needs to put its answers into this language; null for English. */
export function forCore() {
  const { tag, direction, core } = language;
  if (!Object.keys(core.texts).length) return null;
  const rules = new Intl.PluralRules(tag);
  const categories = Array.from({ length: COUNTED }, (_, number) => rules.select(number));
  return JSON.stringify({ ...core, categories, right_to_left: direction === "rtl" });
}
