// Two invented languages made from the English catalogue, served to the app by its tests in place of
// webapp/words/languages.js. Whatever is still readable on a screen was never in the catalogue.
import { en } from "./en/index.js";

const LATIN = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ";
const ACCENTED = "áƀçđéƒğĥíĵķļɱñóþɋřšŧúṽŵẋýžÁƁÇĐÉƑĞĤÍĴĶĻṀÑÓÞɊŘŠŦÚṼŴẊÝŽ";
const HEBREW = "אבגדהוזחטיכלמנסעפצקרשתםןףץאבגדהוזחטיכלמנסעפצקרשתםןףץ";
// Around a value that is put into a sentence: it stays as it is.
const OPEN = "\ue000";
const CLOSE = "\ue001";
const LONG_FROM = 5;
const LONGER = 0.45;

const mapped = (text, letters) => [...text].map((one) => (LATIN.includes(one) ? letters[LATIN.indexOf(one)] : one)).join("");
const longer = (word) => (word.length < LONG_FROM ? mapped(word, ACCENTED) : mapped(word + word.slice(0, Math.ceil(word.length * LONGER)).toLowerCase(), ACCENTED));
const HOW = { long: longer, rtl: (word) => mapped(word, HEBREW) };

/** Words are changed; values, the marks of a sentence's parts and placeholders are not. */
function pseudo(text, how) {
  const kept = /(\ue000[^\ue001]*\ue001|<\/?\w+>|\{\w*\})/;
  return text.split(kept).map((part, i) => (i % 2 ? part : part.replace(/[A-Za-z]+/g, HOW[how]))).join("").replace(/[\ue000\ue001]/g, "");
}

const guarded = (value) => (typeof value === "string" ? OPEN + value.replace(/[\ue000\ue001]/g, "") + CLOSE : value);

function changed(entry, how) {
  if (typeof entry === "string") return pseudo(entry, how);
  if (typeof entry === "function") return (...values) => pseudo(entry(...values.map(guarded)), how);
  return Object.fromEntries(Object.entries(entry).map(([key, value]) => [key, changed(value, how)]));
}

/** The core's own texts, put beside this module by the tests. */
async function texts(how) {
  const { texts: plain, forms } = await (await fetch(new URL("./core-texts.json", import.meta.url))).json();
  const core = {
    texts: Object.fromEntries(plain.map((text) => [text, pseudo(text, how)])),
    forms: Object.fromEntries(Object.entries(forms).map(([other, one]) => [other, { one: pseudo(one, how), other: pseudo(other, how) }])),
  };
  return { words: changed(en, how), core };
}

export const LANGUAGES = {
  en: { name: "English", tag: "en-GB", direction: "ltr", load: async () => ({ words: en, core: { texts: {}, forms: {} } }) },
  long: { name: "Ļóñĝ", tag: "lt", direction: "ltr", load: () => texts("long") },
  rtl: { name: "ימין", tag: "he", direction: "rtl", load: () => texts("rtl") },
};
