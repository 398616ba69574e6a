// The same graphs as tables, for whoever cannot see them or wants the numbers.
import { figures, percent, plain } from "../elements/format.js";
import { t } from "../words/words.js";

/** @typedef {{head: string[], rows: string[][]}} Table */

/** @param {any} data @returns {Table} */
const ofBars = (data) => ({
  head: ["", t.charts.eyes, t.charts.share],
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
  head: ["x, D", "y, D", t.charts.eyes],
  rows: data.points.map((/** @type {any} */ point) => [figures(point.x_d, "refraction_d"), figures(point.y_d, "refraction_d"), String(point.eyes)]),
});

/** @param {any} data @returns {Table} */
const ofVisits = (data) => ({
  head: [t.charts.visit, t.charts.eyes, t.charts.mean, "SD", t.charts.changedOverD],
  rows: data.visits.map((/** @type {any} */ visit) => [visit.label, String(visit.n), plain(visit.mean_d, "refraction_d"), plain(visit.sd_d, "sd_d"),
    visit.changed === null ? "–" : t.charts.of(visit.changed, visit.n_both)]),
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
    if (!data.line) return t.charts.noStraightLineDrawn;
    const { slope, intercept_d, r_squared } = data.line;
    const fit = r_squared === null ? "" : `; R² ${r_squared.toFixed(2)}`;
    return t.charts.solidAchieved(figures(intercept_d, "refraction_d"), slope.toFixed(2), fit) + t.charts.longDashesAsPlanned;
  }
  if (name === "double_angle") {
    const { cylinder_d, axis_deg, mean_magnitude_d, of_centroid, of_eyes } = data;
    const ellipses = of_centroid && of_eyes
      ? t.charts.solidEllipseMeanConfidence
      : t.charts.ellipseNeedsThreePersons;
    return t.charts.meanAllCylindersAs(plain(cylinder_d, "cylinder_d"), plain(axis_deg, "axis_deg"))
      + t.charts.meanSize(plain(mean_magnitude_d, "sd_d"), ellipses);
  }
  if (name === "stability") return t.charts.meanOneSdEither;
  if (name === "acuity_lines") return t.charts.linesLogmarEyeReads;
  return "";
}
