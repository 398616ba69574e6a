/**
 * Pixel scaling for the charts: numbers from the core in, positions on the screen out.
 * Nothing here changes a clinical value; ticks are round numbers to write beside an axis.
 */

/** @typedef {(value: number) => number} Scale */

/**
 * A straight-line scale from a range of values to a range of pixels.
 * @param {[number, number]} domain
 * @param {[number, number]} range
 * @returns {Scale}
 */
export function linear([low, high], [from, to]) {
  const span = high - low;
  if (span === 0) return () => (from + to) / 2;
  return (value) => from + ((value - low) / span) * (to - from);
}

/**
 * The smallest range that holds every finite value, widened by a share at both ends.
 * @param {Array<number | null | undefined>} values
 * @param {{share?: number, least?: number}} [margin] `least` is the narrowest range returned
 * @returns {[number, number]}
 */
export function extent(values, { share = 0.05, least = 1 } = {}) {
  const found = values.filter((value) => typeof value === "number" && Number.isFinite(value));
  if (found.length === 0) return [0, least];
  const low = Math.min(.../** @type {number[]} */ (found));
  const high = Math.max(.../** @type {number[]} */ (found));
  const pad = Math.max((high - low) * share, (least - (high - low)) / 2, 0);
  return [low - pad, high + pad];
}

/**
 * Round values inside a range, at most `most` of them, evenly spaced.
 * @param {[number, number]} domain
 * @param {number} most
 * @returns {number[]}
 */
export function ticks([low, high], most) {
  const step = STEPS.find((size) => (high - low) / size < most) ?? STEPS[STEPS.length - 1];
  const first = Math.ceil(low / step);
  const last = Math.floor(high / step);
  return Array.from({ length: Math.max(last - first + 1, 0) }, (_, index) => (first + index) * step);
}

const STEPS = [0.25, 0.5, 1, 2, 5, 10, 20, 50];

/**
 * An SVG path through points.
 * @param {Array<[number, number]>} points
 * @param {number} [digits] of the drawing's unit
 * @returns {string}
 */
export function through(points, digits = 1) {
  return points.map(([x, y], index) => `${index ? "L" : "M"}${x.toFixed(digits)} ${y.toFixed(digits)}`).join("");
}

/**
 * A closed SVG path around a band given by its upper and lower edges.
 * @param {Array<[number, number]>} upper
 * @param {Array<[number, number]>} lower
 * @returns {string}
 */
export function around(upper, lower) {
  return upper.length ? `${through([...upper, ...[...lower].reverse()])}Z` : "";
}
