import { en } from "./en/index.js";

/**
 * `words` are the screens' texts, `core` those of the calculations.
 * @typedef {{words: import("./words.js").Words, core: import("./words.js").CoreTexts}} Texts
 * @typedef {{name: string, tag: string, direction: "ltr" | "rtl", load: () => Promise<Texts>}} Entry
 */

/** The languages of the app: one line each, its own name, and its texts brought only when it is spoken. @type {Record<string, Entry>} */
export const LANGUAGES = {
  en: { name: "English", tag: "en-GB", direction: "ltr", load: async () => ({ words: en, core: { texts: {}, forms: {} } }) },
};
