// How the results' numbers are written. Every one of them comes from the core.
import { MINUS, figures, percent, plain, range } from "../../elements/format.js";
import { t } from "../../words/words.js";

/** @typedef {{fraction: number, low95: number, high95: number, count: number}} Share */
/** @typedef {{value: number, low95: number | null, high95: number | null}} Estimate */

/** @type {Record<string, {field: string, word: string, decimals: number}>} */
export const CONSTANTS = {
  a: { field: "a", word: t.results.constant, decimals: 2 },
  surgeon_factor_mm: { field: "surgeon_factor_mm", word: t.results.surgeonFactor, decimals: 2 },
  pacd_mm: { field: "pacd_mm", word: t.results.acdConstant, decimals: 2 },
  a0: { field: "a0", word: "a0", decimals: 3 },
};

/** @param {Share} share @param {number} n */
export function shareText({ fraction, count }, n) {
  return t.results.of2(percent(fraction), count, n);
}

/** @param {Share} share */
export function shareInterval({ low95, high95 }) {
  return t.results.to(percent(low95), percent(high95));
}

/** @param {number | null} low @param {number | null} high @param {string} [field] */
export function interval(low, high, field = "error_d") {
  return low === null || high === null ? t.results.noIntervalYet : range(low, high, field);
}

/** @param {[number, number] | null | undefined} ends */
export function distanceInterval(ends) {
  return ends ? range(ends[0], ends[1], "sd_d") : "";
}

/** A share's gain in points. @param {Estimate} gained */
export function points({ value, low95, high95 }) {
  const sign = (/** @type {number} */ share) => POINTS.format(share).replace("%", "").replace("-", MINUS).trim();
  const ends = low95 === null || high95 === null ? "" : t.results.to2(sign(low95), sign(high95));
  return t.results.points(sign(value), ends);
}

const POINTS = new Intl.NumberFormat("en", { style: "percent", maximumFractionDigits: 0, signDisplay: "exceptZero" });

/** @param {Estimate | null} estimate @param {string} [field] */
export function withInterval(estimate, field = "error_d") {
  if (!estimate) return "–";
  const { value, low95, high95 } = estimate;
  return `${plain(value, field)} (${interval(low95, high95, field)})`;
}

/** @param {Estimate | null} ratio */
export function ratioText(ratio) {
  if (!ratio) return "–";
  const ends = ratio.low95 === null || ratio.high95 === null ? "" : t.results.to3(ratio.low95.toFixed(2), ratio.high95.toFixed(2));
  return `${ratio.value.toFixed(2)}${ends}`;
}

/** @param {number} value @param {string} constant */
export function constantText(value, constant) {
  const { field, decimals } = CONSTANTS[constant];
  return figures(value, field, decimals);
}
