// Dotted paths into a record: "measurements.axial_length_mm". Inside a list the step is the
// entry's id: "readings.3f2a.withdrawn". Records are never changed in place.
import { t } from "../words/words.js";

/** @typedef {Record<string, any>} Tree */

/**
 * @param {any} tree
 * @param {string} step
 */
function stepInto(tree, step) {
  if (tree === null || tree === undefined) return undefined;
  if (Array.isArray(tree)) return tree.find((entry) => entry?.id === step);
  return Object.hasOwn(tree, step) ? tree[step] : undefined;
}

/**
 * The value at a path; null where there is none.
 * @param {Tree} tree
 * @param {string} path
 * @returns {any}
 */
export function valueAt(tree, path) {
  return path.split(".").reduce(stepInto, tree) ?? null;
}

/**
 * A copy with one value replaced; missing groups on the way are made, list entries never are.
 * @param {any} tree
 * @param {string} path
 * @param {unknown} value
 * @returns {any}
 */
export function withValue(tree, path, value) {
  const [step, ...rest] = path.split(".");
  const inner = rest.length ? withValue(stepInto(tree, step) ?? {}, rest.join("."), value) : value;
  if (!Array.isArray(tree)) return { ...tree, [step]: inner };
  if (!tree.some((entry) => entry?.id === step)) throw new RangeError(t.store.thereNoEntry(step));
  return tree.map((entry) => (entry?.id === step ? inner : entry));
}

/**
 * A copy with an entry at the end of its list, and a second one that belongs to it.
 * @param {any} tree @param {{path: string, to: any, also?: {path: string, to: any}}} line @returns {any}
 */
export function withEntries(tree, { path, to, also }) {
  const first = withValue(tree, path, [...(valueAt(tree, path) ?? []), to]);
  return also ? withEntries(first, also) : first;
}

/**
 * Equal as JSON, whatever the order of keys.
 * @param {any} first
 * @param {any} second
 * @returns {boolean}
 */
export function same(first, second) {
  if (first === second || (first ?? null) === (second ?? null)) return true;
  if (typeof first !== "object" || typeof second !== "object" || !first || !second) return false;
  const keys = new Set([...Object.keys(first), ...Object.keys(second)]);
  return [...keys].every((key) => same(first[key], second[key]));
}
