// How the surgeon writes quantities. Only what is shown depends on it: no stored value, no answer of
// the core and no file that leaves the device does.

/** @typedef {{cylinder_notation: "minus" | "plus", decimal_mark: "point" | "comma", corneal_notation: "ask" | "d" | "mm",
 *   acuity_first: "metre" | "feet" | "decimal" | "logmar"}} Settings */

/** @type {Settings} */
export const USUAL = { cylinder_notation: "minus", decimal_mark: "point", corneal_notation: "ask", acuity_first: "metre" };

const MARKS = { point: ".", comma: "," };
/** Digits, a point, digits; not three numbers in a row, as versions have. */
const DECIMAL = /(^|[^\d.])(\d+)\.(\d+)(?!\d|\.\d)/g;
/** What an answer holds to be stored or compared, not to be read. */
const NOT_PROSE = new Set(["patch", "readback", "decision", "fill", "row", "lens_name", "constants_source", "fingerprint",
  "case", "id", "key", "code", "path"]);

class Notation extends EventTarget {
  settings = USUAL;

  /** @param {Partial<Settings> | null} settings what is kept among the preferences; gaps are filled with the usual */
  use(settings) {
    this.settings = { ...USUAL, ...settings };
    this.dispatchEvent(new Event("change"));
  }

  get mark() {
    return MARKS[this.settings.decimal_mark];
  }

  /** The part of a request that says what stands first. */
  get request() {
    const { cylinder_notation, acuity_first } = this.settings;
    return { shown_as: { cylinder_notation, acuity_first } };
  }
}

export const notation = new Notation();

/** The decimals of a text with the mark that is set. @param {string} text @returns {string} */
export function inMark(text) {
  return notation.mark === "." ? text : text.replace(DECIMAL, `$1$2${notation.mark}$3`);
}

/**
 * Everything to be read in an answer of the core, with the mark that is set.
 * @template T @param {T} found @returns {T}
 */
export function proseInMark(found) {
  if (notation.mark === ".") return found;
  return /** @type {T} */ (walked(found));
}

/** @param {unknown} found @returns {unknown} */
function walked(found) {
  if (typeof found === "string") return inMark(found);
  if (Array.isArray(found)) return found.map(walked);
  if (found === null || typeof found !== "object") return found;
  return Object.fromEntries(Object.entries(found).map(([key, value]) => [key, NOT_PROSE.has(key) ? value : walked(value)]));
}
