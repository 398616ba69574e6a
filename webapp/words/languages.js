import { en } from "./en/index.js";

/**
 * `words` are the screens' texts; `core` those of the calculations by their keys, empty for English.
 * @typedef {{words: import("./words.js").Words, core: Record<string, string>}} Texts
 * @typedef {{name: string, tag: string, direction: "ltr" | "rtl", load: () => Promise<Texts>}} Entry
 */

/** The languages of the app: one line each, its own name, and its texts brought only when it is spoken. @type {Record<string, Entry>} */
export const LANGUAGES = {
  en: { name: "English", tag: "en-GB", direction: "ltr", load: async () => ({ words: en, core: {} }) },
};
