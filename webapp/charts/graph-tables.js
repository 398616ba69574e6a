// The same graphs as tables, for whoever cannot see them or wants the numbers.
import { figures, percent, plain } from "../elements/format.js";

/** @typedef {{head: string[], rows: string[][]}} Table */

/** @param {any} data @returns {Table} */
const ofBars = (data) => ({
  head: ["", "Eyes", "Share"],
  rows: data.bars.map((/** @type {any} */ bar) => [bar.label, String(bar.count), percent(bar.fraction)]),
});

/** @param {any} data @returns {Table} */
const ofLines = (data) => ({
  head: ["", ...data.lines.map((/** @type {any} */ line) => line.label)],
  rows: data.lines[0].points.map((/** @type {any} */ point, /** @type {number} */ at) =>
    [point.label, ...data.lines.map((/** @type {any} */ line) => percent(line.points[at].fraction))]),
});

/** @param {any} data @returns {Table} */
const ofPoints = (data) => ({
  head: ["x, D", "y, D", "Eyes"],
  rows: data.points.map((/** @type {any} */ point) => [figures(point.x_d, "refraction_d"), figures(point.y_d, "refraction_d"), String(point.eyes)]),
});

/** @param {any} data @returns {Table} */
const ofVisits = (data) => ({
  head: ["Visit", "Eyes", "Mean", "SD", "Changed over 0.50 D"],
  rows: data.visits.map((/** @type {any} */ visit) => [visit.label, String(visit.n), plain(visit.mean_d, "refraction_d"), plain(visit.sd_d, "sd_d"),
    visit.changed === null ? "–" : `${visit.changed} of ${visit.n_both}`]),
});

/** @param {any} data @returns {Table} */
export function tableOf(data) {
  if (data.bars) return ofBars(data);
  if (data.lines) return ofLines(data);
  if (data.visits) return ofVisits(data);
  return ofPoints(data);
}

/** What a drawing cannot say by itself. @param {string} name @param {any} data @returns {string} */
export function noteOf(name, data) {
  if (name === "attempted_achieved") {
    if (!data.line) return "No straight line is drawn: it needs three eyes or more with different plans.";
    const { slope, intercept_d, r_squared } = data.line;
    const fit = r_squared === null ? "" : `; R² ${r_squared.toFixed(2)}`;
    return `Solid: achieved = ${figures(intercept_d, "refraction_d")} D + ${slope.toFixed(2)} × planned${fit}. `
      + "Long dashes: as planned. Short dashes: 0.50 and 1.00 D either way. Larger dots are more eyes.";
  }
  if (name === "double_angle") {
    const { cylinder_d, axis_deg, mean_magnitude_d, of_centroid, of_eyes } = data;
    const ellipses = of_centroid && of_eyes
      ? "Solid ellipse: the mean, 95 % confidence. Dashed: 95 % of further eyes."
      : "An ellipse needs three persons or more with different cylinders.";
    return `Mean of all cylinders as vectors (×): ${plain(cylinder_d, "cylinder_d")} at ${plain(axis_deg, "axis_deg")}; `
      + `mean size ${plain(mean_magnitude_d, "sd_d")}. ${ellipses}`;
  }
  if (name === "stability") return "Mean with one SD either way.";
  if (name === "acuity_lines") return "Lines of 0.1 logMAR that the eye reads less without correction.";
  return "";
}
