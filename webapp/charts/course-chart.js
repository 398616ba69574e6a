/** How an estimate moved, eye by eye: its mean as a line, its 80 % interval as a band. */
import { LitElement, css, html, nothing, svg } from "lit";
import { around, extent, linear, through, ticks } from "./scale.js";
import { figures } from "../elements/format.js";
import { t } from "../words/words.js";

/** @typedef {{eyes: number, mean: number, low80: number, high80: number}} Point */

const WIDE = 320;
const TALL = 120;
const [LEFT, RIGHT, TOP, BOTTOM] = [52, 312, 8, 96];

export class CourseChart extends LitElement {
  static properties = { points: { attribute: false }, field: { attribute: false }, count: { attribute: false } };

  static styles = css`
    :host { display: block; }
    svg { direction: ltr; display: block; width: 100%; height: auto; overflow: visible; }
    .band { fill: var(--accent-soft); }
    .mean { fill: none; stroke: var(--accent); stroke-width: 2.5; }
    .zero { stroke: var(--edge); stroke-dasharray: 4 4; }
    circle { fill: var(--accent); }
    text { fill: var(--ink-soft); font-size: 13px; font-variant-numeric: tabular-nums; }
  `;

  constructor() {
    super();
    /** @type {Point[]} */
    this.points = [];
    /** @type {import("../elements/format.js").Field | null} */
    this.field = null;
    this.count = 0;
  }

  render() {
    if (this.points.length < 2 || !this.field) return nothing;
    const field = this.field;
    const domain = extent(this.points.flatMap((point) => [point.low80, point.high80]), { share: 0.05, least: 0.2 });
    const y = linear(domain, [BOTTOM, TOP]);
    const x = linear([0, this.points.length - 1], [LEFT, RIGHT]);
    const edge = (/** @type {"low80" | "high80" | "mean"} */ key) =>
      this.points.map((point, index) => /** @type {[number, number]} */ ([x(index), y(point[key])]));
    const middle = edge("mean");
    const [lastX, lastY] = middle[middle.length - 1];
    return html`<svg viewBox="0 0 ${WIDE} ${TALL}" role="img" aria-label=${this.words(field)}>
      <path class="band" d=${around(edge("high80"), edge("low80"))} />
      ${ticks(domain, 4).map((value) => svg`<text x=${LEFT - 6} y=${y(value) + 4} text-anchor="end">${figures(value, field)}</text>`)}
      ${domain[0] < 0 && domain[1] > 0 ? svg`<line class="zero" x1=${LEFT} x2=${RIGHT} y1=${y(0)} y2=${y(0)} />` : nothing}
      <path class="mean" d=${through(middle)} /><circle cx=${lastX} cy=${lastY} r="4" />
      <text x=${LEFT} y=${TALL - 6}>${t.charts.eye}</text><text x=${RIGHT} y=${TALL - 6} text-anchor="end">${t.charts.eye2(this.count)}</text>
    </svg>`;
  }

  /** @param {import("../elements/format.js").Field} field */
  words(field) {
    const [first, last] = [this.points[0], this.points[this.points.length - 1]];
    return t.charts.afterFirstEyeAfter(figures(first.mean, field), this.count, figures(last.mean, field), field.unit);
  }
}

customElements.define("gl-course-chart", CourseChart);
