import { LitElement, css, html, nothing, svg } from "lit";
import { shared } from "./shared-style.js";
import { t } from "../words/words.js";

/**
 * Which eye, in a word and by its place in the face seen from in front: the right eye is on the
 * left of the picture. `eye`: "right", "left" or empty; `code`: the case code beside it.
 */
export class GlEye extends LitElement {
  static properties = { eye: { type: String }, code: { type: String }, demo: { type: Boolean }, imported: { type: Boolean } };

  static styles = [shared, css`
    :host { display: inline-block; max-width: 100%; }
    p { display: flex; align-items: center; flex-wrap: wrap; gap: 0 var(--gap-3); line-height: 1.2; }
    svg { width: 3.1em; height: 1.35em; flex: none; overflow: visible; }
    .empty { fill: none; stroke: var(--edge); stroke-width: 2; }
    .full { fill: var(--accent); stroke: var(--accent); stroke-width: 2; }
    .nose { fill: none; stroke: var(--edge); stroke-width: 2; stroke-linecap: round; stroke-linejoin: round; }
    b { font-size: 1.1em; white-space: nowrap; }
    code { font: inherit; font-weight: 600; letter-spacing: 0.06em; white-space: nowrap; color: var(--ink-soft); }
    .imported { padding: 0.1em 0.5em; border: 2px solid var(--edge); border-radius: var(--round-small); color: var(--ink-soft);
      font-size: var(--text-small); font-weight: 700; }
    .demo { padding: 0.1em 0.5em; border: 2px dashed var(--caution); border-radius: var(--round-small); color: var(--caution);
      font-size: var(--text-small); font-weight: 700; }
  `];

  constructor() {
    super();
    /** @type {string | null} */
    this.eye = null;
    this.code = "";
    this.demo = false;
    this.imported = false;
  }

  get word() {
    if (this.eye === "right") return t.elements.rightEye;
    return this.eye === "left" ? t.elements.leftEye : t.elements.eyeNotChosen;
  }

  render() {
    return html`<p>${svg`<svg viewBox="0 0 62 27" aria-hidden="true">
        <path class=${this.eye === "right" ? "full" : "empty"} d="M2 13 Q12 2 23 13 Q12 24 2 13Z"/>
        <path class="nose" d="M31 3 V11 M27 19 Q31 23 35 19"/>
        <path class=${this.eye === "left" ? "full" : "empty"} d="M39 13 Q50 2 60 13 Q50 24 39 13Z"/></svg>`}
      <b>${this.word}</b>${this.code ? html`<code>${this.code}</code>` : nothing}
      ${this.demo ? html`<span class="demo">${t.elements.demoInvented}</span>` : nothing}
      ${this.imported ? html`<span class="imported">${t.elements.imported}</span>` : nothing}</p>`;
  }
}

customElements.define("gl-eye", GlEye);
