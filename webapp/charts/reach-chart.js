/**
 * The reach chart: one bar per lens, from pushed in to drawn out, the target across all of them.
 * Rows are buttons; a tap shows that lens's numbers. Every number comes from the core.
 */
import { LitElement, css, html, svg, nothing } from "lit";
import { extent, linear, ticks } from "./scale.js";
import { figures, percent, signed } from "../elements/format.js";
import { t } from "../words/words.js";

/** @typedef {{outside_mm: number, mean_d: number, sd_d: number}} ReachEnd */
/**
 * @typedef {{lens_power_d: number, mean_d: number, sd_d: number, low80_d: number, high80_d: number,
 *   within_050: number, titrated_within_050: number, reach: ReachEnd[], chosen?: boolean, key?: string, label?: string,
 *   pieces?: number | null, note?: string | null, fill?: Record<string, any> | null, under?: string, name?: string}} LensOutcome
 */

const WIDE = 1000;
const TALL = 100;

export class ReachChart extends LitElement {
  static properties = {
    lenses: { attribute: false },
    target: { attribute: false },
    selected: { attribute: false },
  };

  static styles = css`
    :host { display: block; container-type: inline-size; --columns: 5.2rem minmax(0, 1fr) 3.3rem; --plot: var(--accent); }
    ol { list-style: none; margin: 0; padding: 0; }
    button {
      display: grid; grid-template-columns: var(--columns); align-items: stretch; width: 100%;
      min-height: 52px; padding: 0; gap: 8px; border: 0; border-top: 1px solid var(--rule);
      background: none; color: inherit; font: inherit; font-variant-numeric: tabular-nums; text-align: start; cursor: pointer;
    }
    button > span { align-self: center; min-width: 0; }
    button > span:last-of-type { text-align: end; }
    small { display: block; overflow: hidden; text-overflow: ellipsis; font-size: 0.8em; font-weight: 400; line-height: 1.2; }
    button[aria-pressed="true"] { outline: 3px solid var(--focus); outline-offset: -3px; }
    button.chosen { font-weight: 700; background: var(--accent-soft); }
    svg { display: block; width: 100%; height: 100%; min-height: 52px; overflow: visible; }
    .reach { stroke: var(--plot); stroke-width: 16; vector-effect: non-scaling-stroke; }
    .interval { stroke: currentColor; stroke-width: 2; vector-effect: non-scaling-stroke; opacity: 0.75; }
    .mean { stroke: currentColor; stroke-width: 6; stroke-linecap: round; vector-effect: non-scaling-stroke; }
    .target { stroke: var(--stop); stroke-width: 3; vector-effect: non-scaling-stroke; }
    .head, .axis { display: grid; grid-template-columns: var(--columns); gap: 8px; font-size: 0.8rem; }
    .head span:last-child { text-align: end; }
    .ticks { direction: ltr; position: relative; height: 2.6em; border-top: 1px solid var(--rule); }
    .ticks span { position: absolute; transform: translateX(-50%); white-space: nowrap; }
    .ends { direction: ltr; display: flex; justify-content: space-between; }
    .key { display: flex; flex-wrap: wrap; gap: 2px 16px; font-size: 0.85em; margin: 4px 0 0; }
    .key i { display: inline-block; width: 26px; vertical-align: middle; margin-inline-end: 4px; }
    .key .bar { height: 12px; background: var(--plot); }
    .key .whisker { border-top: 2px solid currentColor; }
    .key .line { width: 0; height: 16px; border-inline-start: 3px solid var(--stop); }
    /* Large text: the bar takes a row of its own. */
    @container (max-width: 12em) {
      button, .head, .axis { grid-template-columns: minmax(0, 1fr) auto; gap: 0 8px; }
      button svg, .head .ends, .axis .ticks { grid-column: 1 / -1; grid-row: 2; }
      .ticks span:nth-child(even) { visibility: hidden; }
      .ticks { font-size: min(0.8rem, 5vw); margin-inline: 1.2em; }
    }
    .key .tick { width: 0; height: 16px; border-inline-start: 6px solid currentColor; border-radius: 3px; }
  `;

  constructor() {
    super();
    /** @type {LensOutcome[]} */
    this.lenses = [];
    /** @type {number | null} */
    this.target = null;
    /** The key of a lens, or its power when it has none. @type {string | number | null} */
    this.selected = null;
  }

  render() {
    if (!this.lenses.length) return nothing;
    const domain = range(this.lenses, this.target);
    return html`
      <div class="head"><span>${t.charts.lens}</span>
        <span class="ends"><span>${t.charts.myopic}</span><span>${t.charts.hyperopic}</span></span><span>${t.charts.chance}</span></div>
      <ol aria-label=${t.charts.lensesTheirReach}>
        ${this.lenses.map((lens) => html`<li>${this.row(lens, domain)}</li>`)}
      </ol>
      ${axis(domain)}
      <p class="key">
        <span><i class="bar"></i>${t.charts.pushedDrawnOut}</span><span><i class="whisker"></i>${t.charts.withoutTitration}</span>
        <span><i class="tick"></i>${t.charts.expected}</span><span><i class="line"></i>${t.charts.target}</span>
      </p>
    `;
  }

  /** @param {LensOutcome} lens @param {[number, number]} domain */
  row(lens, domain) {
    const power = signed(lens.lens_power_d, "lens_power_d");
    return html`<button type="button" class=${lens.chosen ? "chosen" : ""} data-power=${lens.lens_power_d}
      aria-pressed=${(lens.key ?? lens.lens_power_d) === this.selected} aria-label=${this.words(lens, power)}
      @click=${() => this.pick(lens)}>
      <span>${power}${lens.chosen ? " ✓" : ""}${lens.name ? html`<small>${lens.name}</small>` : nothing}
        ${lens.under ? html`<small>${lens.under}</small>` : nothing}</span>
      ${bar(lens, this.target, linear(domain, [0, WIDE]))}
      <span>${percent(lens.titrated_within_050)}</span>
    </button>`;
  }

  /** @param {LensOutcome} lens @param {string} power @returns {string} */
  words(lens, power) {
    const ends = lens.reach.map((end) => signed(end.mean_d, "refraction_d"));
    const about = [lens.name, lens.under].filter(Boolean).map((words) => `, ${words}`).join("");
    const reach = ends.length ? t.charts.reach(ends.reduce((first, last) => t.elements.to(first, last))) : "";
    const expected = signed(lens.mean_d, "refraction_d");
    return t.charts.expected2(power, about, lens.chosen ? t.charts.chosen : "", expected, reach)
      + t.charts.chanceWithinDAfter(percent(lens.titrated_within_050));
  }

  /** @param {LensOutcome} lens */
  pick(lens) {
    this.dispatchEvent(new CustomEvent("pick", { detail: { lens }, bubbles: true, composed: true }));
  }
}

/** @param {LensOutcome[]} lenses @param {number | null} target @returns {[number, number]} */
function range(lenses, target) {
  const values = lenses.flatMap((lens) => [lens.low80_d, lens.high80_d, ...lens.reach.map((end) => end.mean_d)]);
  return extent([...values, target], { share: 0.04, least: 2 });
}

/** @param {LensOutcome} lens @param {number | null} target @param {import("./scale.js").Scale} x */
function bar(lens, target, x) {
  const middle = TALL / 2;
  const [first, last] = [lens.reach[0], lens.reach[lens.reach.length - 1]];
  return html`<svg viewBox="0 0 ${WIDE} ${TALL}" preserveAspectRatio="none" aria-hidden="true">
    ${target == null ? nothing : svg`<line class="target" x1=${x(target)} x2=${x(target)} y1="0" y2=${TALL} />`}
    ${first && last ? svg`<line class="reach" x1=${x(first.mean_d)} x2=${x(last.mean_d)} y1=${middle} y2=${middle} />` : nothing}
    <line class="interval" x1=${x(lens.low80_d)} x2=${x(lens.high80_d)} y1=${middle} y2=${middle} />
    <line class="mean" x1=${x(lens.mean_d)} x2=${x(lens.mean_d)} y1=${middle - 22} y2=${middle + 22} />
  </svg>`;
}

/** @param {[number, number]} domain */
function axis(domain) {
  const x = linear(domain, [0, 100]);
  return html`<div class="axis"><span>D</span><div class="ticks">
    ${ticks(domain, 5).map((value) => html`<span .style=${`left:${x(value).toFixed(1)}%`}>${figures(value, "refraction_d")}</span>`)}
  </div><span></span></div>`;
}

customElements.define("gl-reach-chart", ReachChart);
