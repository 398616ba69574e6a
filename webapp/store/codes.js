// Case codes and person codes, by the same rule as pycore/records/codes.py: seven random
// characters and a check character, so that one wrong or two swapped characters are noticed.
import { t } from "../words/words.js";

const ALPHABET = "346789ACDEFHJKMNPRTUWXY";
const FREE_CHARACTERS = 7;
const BYTE_VALUES = 256;
/** The one character that each of these is mistaken for. @type {Record<string, string>} */
const LOOKS_LIKE = { B: "8", G: "6", V: "U", 0: "D", O: "D", Q: "D" };
const BETWEEN = /[-\u2010-\u2014\u2212_. \u00a0\u2009\t]/g;

/** @param {string} free seven characters of the alphabet */
export function checkCharacter(free) {
  const size = ALPHABET.length;
  const sum = [...free].reduce((total, character, index) =>
    total + (FREE_CHARACTERS + 1 - index) * ALPHABET.indexOf(character), 0);
  return ALPHABET[(size - (sum % size)) % size];
}

/** A fresh code that is not among `taken`. @param {Set<string>} [taken] */
export function newCode(taken = new Set()) {
  for (;;) {
    const free = Array.from({ length: FREE_CHARACTERS }, randomCharacter).join("");
    const code = shown(free + checkCharacter(free));
    if (!taken.has(code)) return code;
  }
}

/** Every character equally likely: bytes beyond the last whole multiple are drawn again. */
function randomCharacter() {
  const limit = BYTE_VALUES - (BYTE_VALUES % ALPHABET.length);
  for (;;) {
    const [byte] = crypto.getRandomValues(new Uint8Array(1));
    if (byte < limit) return ALPHABET[byte % ALPHABET.length];
  }
}

/**
 * The code as shown, or what is wrong with what was typed. Look-alikes are never replaced silently.
 * @param {string} typed
 * @returns {{code: string} | {message: string}}
 */
export function readCode(typed) {
  const plain = typed.toUpperCase().replace(BETWEEN, "");
  const foreign = [...plain].find((character) => !ALPHABET.includes(character));
  if (foreign) {
    const hint = LOOKS_LIKE[foreign] ? t.store.isIt(LOOKS_LIKE[foreign]) : t.store.readAgain;
    return { message: t.store.codesNeverContain(foreign, hint) };
  }
  if (plain.length !== FREE_CHARACTERS + 1) {
    return { message: t.store.codeHasCharactersWere(plain.length) };
  }
  if (checkCharacter(plain.slice(0, -1)) === plain.at(-1)) return { code: shown(plain) };
  return { message: t.store.notCodeOneCharacter(shown(plain)) };
}

/** @param {string} plain */
function shown(plain) {
  return `${plain.slice(0, 4)}-${plain.slice(4)}`;
}
