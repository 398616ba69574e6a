// Every text of the screens comes from here. `t` holds the catalogue of the language that is spoken,
// English until `speak` was called; `language` says how that language is written.
import { inMark } from "../elements/notation.js";
import { en } from "./en/index.js";

/** @typedef {string | number} Value */
/** @typedef {typeof en} Words */
/** What the calculations say: translations by the English text, and the forms of counted words by the English form for
 * several, one for each plural category of the language. Both are empty for English.
 * @typedef {{texts: Record<string, string>, forms: Record<string, Record<string, string>>}} CoreTexts */
/** `tag` is a BCP 47 tag: dates and plurals follow it.
 * @typedef {{tag: string, direction: "ltr" | "rtl", core: CoreTexts}} Language */

/**
 * Texts with the decimal mark that is set, whenever they are read.
 * @template {object} T @param {T} words @returns {T}
 */
const inSetMark = (words) => new Proxy(words, {
  get: (found, name) => {
    const text = /** @type {any} */ (found)[name];
    if (typeof text === "string") return inMark(text);
    return typeof text === "function" ? (/** @type {any[]} */ ...given) => inMark(text(...given)) : text;
  },
});

/** @param {Words} words @returns {Words} */
const allInSetMark = (words) => /** @type {any} */ (Object.fromEntries(Object.entries(words).map(([place, texts]) => [place, inSetMark(texts)])));

/** @type {Words} */
export const t = allInSetMark(en);

/** @type {Language} */
export const language = { tag: "en-GB", direction: "ltr", core: { texts: {}, forms: {} } };

/** Before the first screen is imported: some texts are taken as the modules load. @param {Words} words @param {Language} how */
export function speak(words, how) {
  Object.assign(t, allInSetMark(words));
  Object.assign(language, how);
}
