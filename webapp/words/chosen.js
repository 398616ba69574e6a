// The language this device was set to.
import { LANGUAGES } from "./languages.js";
import { speak } from "./words.js";

const KEY = "guyline-language";

/** What was chosen on this device, else the first language of the phone that is spoken here. @returns {string} */
export function chosen() {
  const wanted = [stored(), ...navigator.languages.map((tag) => tag.split("-")[0])];
  return wanted.find((one) => one !== null && Object.hasOwn(LANGUAGES, one)) ?? "en";
}

/** Kept apart from the records: the lock screen must speak before they can be read. */
function stored() {
  try {
    return localStorage.getItem(KEY);
  } catch {
    return null;
  }
}

/** The screens are loaded again in the new language. @param {string} code */
export function choose(code) {
  localStorage.setItem(KEY, code);
  location.reload();
}

/** Speaks the language of this device; English if its texts cannot be read. */
export async function begin() {
  const { tag, direction, load } = LANGUAGES[chosen()];
  try {
    const { words, core } = await load();
    speak(words, { tag, direction, core });
    Object.assign(document.documentElement, { lang: tag, dir: direction });
  } catch {
    // English is there already.
  }
}
