/**
 * The titration chart: what the refraction will be over the length outside.
 * Every number comes from the core's `chart` and `readings`; this file only places them.
 */
import { LitElement, css, html, svg, nothing } from "lit";
import { around, extent, linear, through, ticks } from "./scale.js";
import { figures, plain, signed } from "../elements/format.js";
import { t } from "../words/words.js";

/** @typedef {import("./scale.js").Scale} Scale */
/** @typedef {{outside_mm: number, mean_d: number, low80_d: number, high80_d: number}} LinePoint */
/** @typedef {{line: LinePoint[], target_d: number | null, reach_low_mm: number | null, reach_high_mm: number | null}} ChartData */
/** @typedef {{id: string, outside_mm: number | null, refraction_d: number | null, used: boolean, gross?: number | null}} ReadingMark */

const MARGIN = { left: 84, right: 14, top: 14, bottom: 62 };
const DOUBTFUL = 0.2;

export class TitrationChart extends LitElement {
  static properties = {
    chart: { attribute: false },
    readings: { attribute: false },
    advised: { attribute: false },
    width: { state: true },
  };

  static styles = css`
    :host { display: block; container-type: inline-size; }
    svg { direction: ltr; display: block; width: 100%; overflow: visible; }
    .band { fill: var(--accent); opacity: 0.28; }
    .line { fill: none; stroke: var(--accent); stroke-width: 4; }
    .target { stroke: var(--caution); stroke-width: 4; stroke-dasharray: 14 8; }
    .edge { stroke: currentColor; stroke-width: 2; opacity: 0.7; }
    .advised { stroke: currentColor; stroke-width: 4; }
    .grid { stroke: currentColor; stroke-width: 1; opacity: 0.25; }
    .outside-reach { fill: currentColor; opacity: 0.1; }
    .reading { fill: var(--ink); stroke: var(--ground); stroke-width: 2; }
    .unused { fill: none; stroke: currentColor; stroke-width: 3; }
    text { fill: currentColor; font: 600 24px/1 var(--face); font-variant-numeric: tabular-nums; }
    .axis { font-size: min(24px, 5.4cqi); }
    .key { display: flex; flex-wrap: wrap; gap: 4px 20px; font-size: 20px; margin-top: 4px; }
    .key svg { display: inline-block; width: 34px; height: 18px; vertical-align: middle; }
  `;

  constructor() {
    super();
    /** @type {ChartData | null} */
    this.chart = null;
    /** @type {ReadingMark[]} */
    this.readings = [];
    /** @type {number | null} */
    this.advised = null;
    this.width = 360;
    this.observer = new ResizeObserver((seen) => {
      const width = Math.round(seen[0].contentRect.width);
      if (width > 0) this.width = width;
    });
  }

  connectedCallback() {
    super.connectedCallback();
    this.observer.observe(this);
  }

  disconnectedCallback() {
    this.observer.disconnect();
    super.disconnectedCallback();
  }

  render() {
    if (!this.chart || this.chart.line.length === 0) return nothing;
    const height = Math.max(280, Math.min(420, this.width * 0.9));
    const frame = layout(this.chart, this.readings, this.width, height);
    return html`
      <svg viewBox="0 0 ${this.width} ${height}" height=${height} role="img" aria-label=${this.summary()}>
        ${axes(frame)} ${beyondReach(frame, this.chart)} ${belief(frame, this.chart.line)}
        ${target(frame, this.chart.target_d)} ${advised(frame, this.advised)}
        ${this.readings.map((reading) => mark(frame, reading))}
      </svg>
      ${legend(this.readings, this.advised)}
    `;
  }

  /** @returns {string} the chart in words, for those who cannot see it */
  summary() {
    const line = /** @type {ChartData} */ (this.chart).line;
    const [first, last] = [line[0], line[line.length - 1]];
    const end = (/** @type {LinePoint} */ point) =>
      t.charts.at(signed(point.mean_d, "refraction_d"), plain(point.outside_mm, "outside_mm"));
    const goal = this.chart?.target_d;
    const wanted = goal == null ? "" : t.charts.target2(signed(goal, "target_d"));
    return t.charts.expectedRefractionOverLength(end(first), end(last), wanted);
  }
}

/** @typedef {{x: Scale, y: Scale, xs: [number, number], ys: [number, number], width: number, height: number}} Frame */

/**
 * @param {ChartData} chart @param {ReadingMark[]} readings @param {number} width @param {number} height
 * @returns {Frame}
 */
function layout(chart, readings, width, height) {
  const xs = extent([...chart.line.map((p) => p.outside_mm), ...readings.map((r) => r.outside_mm)], { share: 0.03 });
  const heights = chart.line.flatMap((p) => [p.low80_d, p.high80_d]);
  const ys = extent([...heights, chart.target_d, ...readings.map((r) => r.refraction_d)], { share: 0.06 });
  return {
    xs, ys, width, height,
    x: linear(xs, [MARGIN.left, width - MARGIN.right]),
    y: linear(ys, [height - MARGIN.bottom, MARGIN.top]),
  };
}

/** @param {Frame} frame */
function axes({ x, y, xs, ys, width, height }) {
  const floor = height - MARGIN.bottom;
  return svg`
    ${ticks(ys, 4).map((value) => svg`
      <line class="grid" x1=${MARGIN.left} x2=${width - MARGIN.right} y1=${y(value)} y2=${y(value)} />
      <text x=${MARGIN.left - 8} y=${y(value) + 8} text-anchor="end">${bare(value)}</text>`)}
    ${ticks(xs, 4).map((value) => svg`
      <line class="grid" x1=${x(value)} x2=${x(value)} y1=${MARGIN.top} y2=${floor} />
      <text x=${x(value)} y=${floor + 26} text-anchor="middle">${value}</text>`)}
    <text class="axis" x=${width - MARGIN.right} y=${floor + 54} text-anchor="end">${t.charts.outsideOriginalTipMm}</text>`;
}

/** @param {number} value @returns {string} a tick on the dioptre axis, sign always written */
function bare(value) {
  return figures(value, "refraction_d");
}

/** @param {Frame} frame @param {ChartData} chart */
function beyondReach({ x, xs, height }, chart) {
  const top = MARGIN.top;
  const tall = height - MARGIN.bottom - top;
  const shade = (/** @type {number} */ from, /** @type {number} */ to) =>
    svg`<rect class="outside-reach" x=${x(from)} y=${top} width=${Math.max(x(to) - x(from), 0)} height=${tall} />`;
  const edge = (/** @type {number} */ at) =>
    svg`<line class="edge" x1=${x(at)} x2=${x(at)} y1=${top} y2=${top + tall} />`;
  return svg`
    ${chart.reach_low_mm == null ? nothing : svg`${shade(xs[0], chart.reach_low_mm)}${edge(chart.reach_low_mm)}`}
    ${chart.reach_high_mm == null ? nothing : svg`${shade(chart.reach_high_mm, xs[1])}${edge(chart.reach_high_mm)}`}`;
}

/** @param {Frame} frame @param {LinePoint[]} line */
function belief({ x, y }, line) {
  const at = (/** @type {"mean_d" | "low80_d" | "high80_d"} */ key) =>
    line.map((point) => /** @type {[number, number]} */ ([x(point.outside_mm), y(point[key])]));
  if (line.length === 1) return single(x(line[0].outside_mm), y(line[0].high80_d), y(line[0].low80_d), y(line[0].mean_d));
  return svg`<path class="band" d=${around(at("high80_d"), at("low80_d"))} />
    <path class="line" d=${through(at("mean_d"))} />`;
}

/** Nothing moves any more: one interval. @param {number} x @param {number} top @param {number} bottom @param {number} mean */
function single(x, top, bottom, mean) {
  return svg`<rect class="band" x=${x - 10} y=${top} width="20" height=${bottom - top} />
    <line class="line" x1=${x - 16} x2=${x + 16} y1=${mean} y2=${mean} />`;
}

/** @param {Frame} frame @param {number | null} value */
function target({ y, width }, value) {
  if (value == null) return nothing;
  return svg`<line class="target" x1=${MARGIN.left} x2=${width - MARGIN.right} y1=${y(value)} y2=${y(value)} />`;
}

/** @param {Frame} frame @param {number | null} value */
function advised({ x, height }, value) {
  if (value == null) return nothing;
  const floor = height - MARGIN.bottom;
  return svg`<line class="advised" x1=${x(value)} x2=${x(value)} y1=${MARGIN.top} y2=${floor} />
    <path d="M${x(value) - 12} ${MARGIN.top}h24l-12 16z" fill="currentColor" />`;
}

/** @param {Frame} frame @param {ReadingMark} reading */
function mark({ x, y }, reading) {
  if (reading.outside_mm == null || reading.refraction_d == null) return nothing;
  const [cx, cy] = [x(reading.outside_mm), y(reading.refraction_d)];
  if (!reading.used) return svg`<path class="unused" d="M${cx - 8} ${cy - 8}l16 16m0 -16l-16 16" />`;
  const ring = (reading.gross ?? 0) > DOUBTFUL ? svg`<circle class="unused" cx=${cx} cy=${cy} r="16" />` : nothing;
  return svg`<circle class="reading" cx=${cx} cy=${cy} r="10" />${ring}`;
}

/** @param {ReadingMark[]} readings @param {number | null} chosen */
function legend(readings, chosen) {
  const item = (/** @type {unknown} */ shape, /** @type {string} */ word) =>
    html`<span><svg viewBox="0 0 34 18" aria-hidden="true">${shape}</svg> ${word}</span>`;
  return html`<div class="key">
    ${item(svg`<rect class="band" width="34" height="18" /><path class="line" d="M0 9H34" />`, "expected, 80 %")}
    ${item(svg`<line class="target" x1="0" x2="34" y1="9" y2="9" />`, "target")}
    ${readings.some((r) => r.used) ? item(svg`<circle class="reading" cx="17" cy="9" r="8" />`, "reading") : nothing}
    ${readings.some((r) => !r.used)
      ? item(svg`<path class="unused" d="M10 2l14 14m0 -14l-14 14" />`, t.charts.notUsed) : nothing}
    ${readings.some((r) => r.used && (r.gross ?? 0) > DOUBTFUL)
      ? item(svg`<circle class="unused" cx="17" cy="9" r="8" />`, "doubtful") : nothing}
    ${chosen == null ? nothing : item(svg`<path d="M5 2h24l-12 15z" fill="currentColor" />`, "advised")}
    ${item(svg`<rect class="outside-reach" width="34" height="18" /><path class="edge" d="M17 0V18" />`, t.charts.outReach)}
  </div>`;
}

customElements.define("gl-titration-chart", TitrationChart);
