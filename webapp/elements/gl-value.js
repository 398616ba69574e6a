import { LitElement, css, html, nothing } from "lit";
import { shared } from "./shared-style.js";
import { fieldOf, percent, plain, range } from "./format.js";
import { t } from "../words/words.js";

/**
 * A number to read: label, value with sign and unit, interval, and a line on what it rests on.
 * `fraction` shows a chance as per cent instead of a field's unit; `old` greys it as out of date.
 */
export class GlValue extends LitElement {
  static properties = {
    field: { type: String },
    label: { type: String },
    note: { type: String },
    value: { attribute: false },
    low: { attribute: false },
    high: { attribute: false },
    interval: { type: String },
    fraction: { type: Boolean },
    large: { type: Boolean, reflect: true },
    old: { type: Boolean, reflect: true },
  };

  static styles = [shared, css`
    :host { display: block; }
    .label { font-weight: 600; color: var(--ink-soft); }
    .figure { display: block; font-size: var(--text-value); font-weight: 700; line-height: 1.15; white-space: nowrap; }
    :host([large]) .figure { font-size: var(--text-answer); letter-spacing: -0.01em; }
    .range { display: block; font-weight: 600; }
    .note { display: block; color: var(--ink-soft); font-size: var(--text-small); }
    :host([old]) .figure { text-decoration: line-through; color: var(--ink-soft); }
  `];

  constructor() {
    super();
    this.field = "";
    this.label = "";
    this.note = "";
    /** @type {number | null} */
    this.value = null;
    /** @type {number | null} */
    this.low = null;
    /** @type {number | null} */
    this.high = null;
    this.interval = "80 %";
    this.fraction = false;
    this.large = false;
    this.old = false;
  }

  get figure() {
    return this.fraction ? percent(this.value) : plain(this.value, this.field);
  }

  renderRange() {
    if (this.low === null || this.high === null) return nothing;
    return html`<span class="range">${this.interval}: ${range(this.low, this.high, this.field)}</span>`;
  }

  render() {
    const label = this.label || (this.field ? fieldOf(this.field).label : "");
    return html`<span class="label">${label}</span>
      <span class="figure">${this.figure}</span>${this.renderRange()}
      ${this.old ? html`<span class="note">${t.elements.outDateSomethingRests}</span>` : nothing}
      ${this.note ? html`<span class="note">${this.note}</span>` : nothing}`;
  }
}

customElements.define("gl-value", GlValue);
