/**
 * A segmented choice between words that are not a glossary choice (clock hours, units, yes or no).
 * Nothing is chosen until the surgeon chooses. Fires `pick` with `{value}`.
 */
import { LitElement, css, html } from "lit";
import { buttons, shared } from "../../elements/shared-style.js";

/** @typedef {readonly [string | boolean, string]} Option */

export class Pick extends LitElement {
  static properties = {
    label: { type: String },
    options: { attribute: false },
    value: { attribute: false },
    disabled: { type: Boolean },
  };

  static styles = [shared, buttons, css`
    :host { display: block; }
    .label { display: block; font-weight: 600; margin-block-end: var(--gap-1); }
    .row { display: flex; flex-wrap: wrap; gap: var(--gap-2); }
    button { flex: 1 1 7em; }
    button[aria-checked="true"] { background: var(--accent); border-color: var(--accent); color: var(--on-accent); }
  `];

  constructor() {
    super();
    this.label = "";
    /** @type {readonly Option[]} */
    this.options = [];
    /** @type {string | boolean | null} */
    this.value = null;
    this.disabled = false;
  }

  render() {
    return html`<span class="label" id="label">${this.label}</span>
      <div class="row" role="radiogroup" aria-labelledby="label">
        ${this.options.map(([value, word]) => html`<button type="button" role="radio" data-value=${String(value)}
          aria-checked=${value === this.value ? "true" : "false"} ?disabled=${this.disabled}
          @click=${() => this.choose(value)}>${value === this.value ? "✓ " : ""}${word}</button>`)}
      </div>`;
  }

  /** Moves the focus to the first button. */
  focus() {
    this.renderRoot.querySelector("button")?.focus();
  }

  /** @param {string | boolean} value */
  choose(value) {
    this.dispatchEvent(new CustomEvent("pick", { detail: { value }, bubbles: true, composed: true }));
  }
}

customElements.define("gl-pick", Pick);
