/**
 * The outcome graphs, from the core's data to the drawing library's options. Only places, shapes and
 * colours are chosen here; every number shown comes from the core.
 */
import { figures, percent } from "../elements/format.js";
import { t } from "../words/words.js";

/** @typedef {import("./plot-library.js").Library} Library */
/** @typedef {{label: string, count: number, fraction: number}} Bar */
/** @typedef {{name: string, label: string, points: Bar[]}} Line */

const ACCENT = "var(--accent)";
const INK = "currentColor";
const DASHES = ["none", "7 5", "2 5"];
const SYMBOLS = ["circle", "square", "triangle"];
const FONT = { fontSize: "16px", fontFamily: "system-ui, sans-serif", overflow: "visible" };

/** @param {number} value */
const dioptres = (value) => figures(value, "refraction_d");

/** @param {Library} plot @param {any} data @param {number} width @param {string} xLabel */
function bars(plot, data, width, xLabel) {
  /** @type {Bar[]} */
  const list = data.bars;
  return plot.plot({
    width, height: 40 * list.length + 66, marginLeft: 148, marginRight: 62, marginBottom: 50, style: FONT,
    x: { percent: true, label: xLabel, ticks: 3, labelAnchor: "right", labelArrow: "none" },
    y: { domain: list.map((bar) => bar.label), label: null, tickSize: 0 },
    marks: [
      plot.barX(list, { x: "fraction", y: "label", fill: ACCENT, insetTop: 4, insetBottom: 4 }),
      plot.text(list, { x: "fraction", y: "label", text: (/** @type {Bar} */ bar) => percent(bar.fraction), textAnchor: "start", dx: 6 }),
      plot.ruleX([0], { stroke: INK }),
    ],
  });
}

/** @param {Library} plot @param {any} data @param {number} width @param {{xLabel: string, turn: number, below: number}} look */
function lines(plot, data, width, { xLabel, turn, below }) {
  /** @type {Line[]} */
  const all = data.lines;
  return plot.plot({
    width, height: Math.min(width * 0.85, 420) + below - 40, marginLeft: 50, marginRight: 18, marginTop: 26, marginBottom: below, style: FONT,
    x: { type: "point", domain: all[0].points.map((point) => point.label), label: xLabel, tickRotate: turn, labelArrow: "none" },
    y: { percent: true, domain: [0, 100], label: t.charts.eyes2, grid: true, ticks: 5, labelArrow: "none" },
    marks: all.flatMap((line, index) => [
      plot.lineY(line.points, { x: "label", y: "fraction", stroke: index ? INK : ACCENT, strokeWidth: 2.5, strokeDasharray: DASHES[index] }),
      plot.dot(line.points, { x: "label", y: "fraction", symbol: SYMBOLS[index], r: 5, fill: index ? INK : ACCENT }),
    ]),
  });
}

/** @param {Library} plot @param {any} data @param {number} width */
function attempted(plot, data, width) {
  const fit = data.line ? [plot.line(data.line.ends, { x: "x_d", y: "y_d", stroke: INK, strokeWidth: 4 })] : [];
  return plot.plot({
    width, height: width + 10, marginLeft: 66, marginRight: 30, marginTop: 30, marginBottom: 52, style: FONT,
    x: { label: t.charts.plannedD, grid: true, ticks: 5, tickFormat: dioptres, labelArrow: "none", labelAnchor: "right" },
    y: { label: t.charts.achievedD, grid: true, ticks: 6, tickFormat: dioptres, labelArrow: "none" },
    r: { range: [0, 9] },
    marks: [
      ...data.bands.map((/** @type {any} */ band) => plot.line(band.ends, { x: "x_d", y: "y_d", stroke: INK,
        strokeWidth: band.offset_d === 0 ? 2 : 1, strokeDasharray: band.offset_d === 0 ? "16 5" : "4 5", strokeOpacity: 0.8, clip: true })),
      plot.dot(data.points, { x: "x_d", y: "y_d", r: "eyes", fill: ACCENT, fillOpacity: 0.4, stroke: ACCENT, strokeWidth: 0.75 }),
      ...fit,
    ],
  });
}

/** @param {Library} plot @param {any} data @param {number} width */
function stability(plot, data, width) {
  const { visits } = data;
  return plot.plot({
    width, height: 300, marginLeft: 66, marginRight: 24, marginTop: 30, marginBottom: 46, style: FONT,
    x: { type: "point", domain: visits.map((/** @type {any} */ visit) => visit.label), label: null },
    y: { label: t.charts.sphericalEquivalentD, grid: true, ticks: 5, tickFormat: dioptres, labelArrow: "none" },
    marks: [
      plot.ruleX(visits, { x: "label", y1: "low_d", y2: "high_d", stroke: INK, strokeWidth: 2 }),
      plot.lineY(visits, { x: "label", y: "mean_d", stroke: ACCENT, strokeWidth: 2.5 }),
      plot.dot(visits, { x: "label", y: "mean_d", r: 6, fill: ACCENT }),
    ],
  });
}

/** @param {Library} plot @param {any} data @param {number} width */
function doubleAngle(plot, data, width) {
  const half = data.extent_d;
  const axis = { domain: [-half, half], ticks: 4, tickFormat: dioptres, grid: true, labelArrow: "none" };
  const outline = (/** @type {any} */ ellipse, /** @type {object} */ look) => (ellipse ? [plot.line(ellipse.outline, look)] : []);
  return plot.plot({
    width, aspectRatio: 1, marginLeft: 62, marginRight: 34, marginTop: 34, marginBottom: 50, style: FONT,
    x: { ...axis, label: t.charts.cCos2aD, labelAnchor: "right" },
    y: { ...axis, label: t.charts.cSin2aD },
    r: { range: [0, 8] },
    marks: [
      plot.ruleX([0], { stroke: INK, strokeOpacity: 0.6 }), plot.ruleY([0], { stroke: INK, strokeOpacity: 0.6 }),
      plot.dot(data.points, { x: "x_d", y: "y_d", r: "eyes", fill: ACCENT, fillOpacity: 0.5, stroke: ACCENT }),
      ...outline(data.of_eyes, { stroke: INK, strokeDasharray: "6 5", strokeWidth: 1.5 }),
      ...outline(data.of_centroid, { stroke: INK, strokeWidth: 2.5 }),
      plot.dot([data.centroid], { symbol: "times", r: 8, stroke: INK, strokeWidth: 3 }),
    ],
  });
}

/** @type {Record<string, (plot: Library, data: any, width: number) => SVGSVGElement>} */
export const PLOTS = {
  error_histogram: (plot, data, width) => bars(plot, data, width, t.charts.eyes2),
  cumulative_errors: (plot, data, width) => lines(plot, data, width, { xLabel: t.charts.withinD, turn: 0, below: 54 }),
  attempted_achieved: attempted,
  acuity: (plot, data, width) => lines(plot, data, width, { xLabel: t.charts.lineBetter, turn: -60, below: 96 }),
  acuity_lines: (plot, data, width) => bars(plot, data, width, t.charts.eyes2),
  stability,
  cylinder: (plot, data, width) => bars(plot, data, width, t.charts.eyes2),
  double_angle: doubleAngle,
};

/** What the lines of a graph look like, in words beside them. @param {any} data @returns {{label: string, dash: string, symbol: string, accent: boolean}[]} */
export function keyOf(data) {
  return (data.lines ?? []).map((/** @type {Line} */ line, /** @type {number} */ index) =>
    ({ label: line.label, dash: DASHES[index], symbol: SYMBOLS[index], accent: index === 0 }));
}
