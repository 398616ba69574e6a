/**
 * The eye as the surgeon sees it from the seat: limbus, clock hours, entries, tunnels, marks.
 * Places come from the core in millimetres, y down, already turned to the seat.
 */
import { LitElement, css, html, nothing, svg } from "lit";
import { through } from "./scale.js";
import { t } from "../words/words.js";

/** @typedef {[number, number]} Point */
/**
 * @typedef {object} Drawing
 * @property {string} title
 * @property {string[]} words
 * @property {Point[]} limbus
 * @property {Array<{clock: string, at: Point}>} hours
 * @property {Array<{clock: string, at: Point, tunnel: Point[]}>} entries
 */
/** @typedef {{id: string, kind: string, text: string, at: Point | null}} Mark */

const HALF_MM = 12.5;
/** Digits after the millimetre. */
const MICRONS = 3;

export class MicroscopeDrawing extends LitElement {
  static properties = {
    drawing: { attribute: false },
    marks: { attribute: false },
  };

  static styles = css`
    :host { display: block; }
    figure { margin: 0; }
    svg { direction: ltr; display: block; width: 100%; max-width: 24rem; margin: 0 auto; }
    .sclera { fill: var(--sunken); }
    .cornea { fill: var(--accent-soft); stroke: var(--edge); stroke-width: 0.18; }
    .pupil { fill: none; stroke: var(--edge); stroke-width: 0.12; stroke-dasharray: 0.4 0.3; }
    .line { stroke: var(--edge); stroke-width: 0.14; stroke-dasharray: 0.7 0.4; }
    .tunnel { fill: none; stroke: var(--accent); stroke-width: 0.7; stroke-linecap: round; }
    .entry { fill: var(--accent); stroke: var(--surface); stroke-width: 0.2; }
    .mark { fill: var(--caution); stroke: var(--surface); stroke-width: 0.15; }
    text { fill: var(--ink-soft); font: 600 1.1px/1 var(--face); text-anchor: middle; dominant-baseline: central; }
    .seat, .number { fill: var(--ink); font-weight: 800; }
    .number { fill: var(--surface); font-size: 1px; }
    figcaption { font-weight: 700; margin-block-end: var(--gap-2); }
    ul { margin: var(--gap-2) 0 0; padding: 0; list-style: none; font-size: 0.92em; color: var(--ink-soft); }
  `;

  constructor() {
    super();
    /** @type {Drawing | null} */
    this.drawing = null;
    /** @type {Mark[]} */
    this.marks = [];
  }

  render() {
    if (!this.drawing) return nothing;
    const { title, words, limbus, hours, entries } = this.drawing;
    return html`<figure>
      <figcaption>${title}</figcaption>
      <svg viewBox="${-HALF_MM} ${-HALF_MM} ${2 * HALF_MM} ${2 * HALF_MM + 1.6}" role="img" aria-label=${[title, ...words].join(". ")}>
        <circle class="sclera" r="10" />
        <path class="cornea" d=${`${through(limbus, MICRONS)}Z`} />
        <circle class="pupil" r="3" />
        <path class="line" d=${through(entries.map((entry) => entry.at), MICRONS)} />
        ${hours.map(({ clock, at: [x, y] }) => svg`<text x=${x} y=${y}>${clock}</text>`)}
        ${entries.map((entry) => svg`<path class="tunnel" d=${through(entry.tunnel, MICRONS)} />
          <circle class="entry" cx=${entry.at[0]} cy=${entry.at[1]} r="0.6" />`)}
        ${this.marks.map((mark, index) => (mark.at ? markAt(mark.at, index + 1) : nothing))}
        <text class="seat" x="0" y=${HALF_MM + 0.6}>${t.charts.youSitHere}</text>
      </svg>
      <ul>${words.map((word) => html`<li>${word}</li>`)}</ul>
    </figure>`;
  }
}

/** A numbered square, so that it is told from an entry without colour. @param {Point} at @param {number} number */
function markAt([x, y], number) {
  return svg`<g transform="translate(${x} ${y})"><rect class="mark" x="-0.85" y="-0.85" width="1.7" height="1.7" />
    <text class="number">${number}</text></g>`;
}

customElements.define("gl-microscope-drawing", MicroscopeDrawing);
