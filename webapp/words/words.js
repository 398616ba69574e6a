// Every text of the screens comes from here. `t` holds the catalogue of the language that is spoken,
// English until `speak` was called; `language` says how that language is written.
import { en } from "./en/index.js";

/** @typedef {string | number} Value */
/** @typedef {typeof en} Words */
/** `tag` is a BCP 47 tag: dates, lists and plurals follow it. `core` holds the sentences of the calculations.
 * @typedef {{tag: string, direction: "ltr" | "rtl", core: Record<string, string>}} Language */

/** @type {Words} */
export const t = { ...en };

/** @type {Language} */
export const language = { tag: "en-GB", direction: "ltr", core: {} };

/** Before the first screen is imported: some texts are taken as the modules load. @param {Words} words @param {Language} how */
export function speak(words, how) {
  Object.assign(t, words);
  Object.assign(language, how);
}
