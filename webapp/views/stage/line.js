/** One line of text of the case; committed on leaving the field, kept as a draft until then. */
import { LitElement, css, html } from "lit";
import { fieldOf } from "../../elements/format.js";
import { shared } from "../../elements/shared-style.js";

export class TextLine extends LitElement {
  static properties = {
    field: { type: String },
    path: { type: String },
    value: { attribute: false },
    draft: { attribute: false },
    local: { type: Boolean },
  };

  static styles = [shared, css`
    :host { display: block; }
    label { display: block; font-weight: 600; margin-block-end: var(--gap-1); }
    input {
      width: 100%; min-height: var(--touch); padding: var(--gap-2) var(--gap-3); font: inherit; color: var(--ink);
      background: var(--surface); border: 2px solid var(--edge); border-radius: var(--round-small);
    }
    .hint { color: var(--ink-soft); font-size: var(--text-small); }
  `];

  constructor() {
    super();
    this.field = "";
    this.path = "";
    /** @type {string | null} */
    this.value = null;
    /** @type {string | null} */
    this.draft = null;
    /** Whether it belongs to an entry that is not stored yet. */
    this.local = false;
  }

  render() {
    const { label, meaning, kind } = fieldOf(this.field);
    return html`<label for="input">${label}</label>
      <input id="input" type=${kind === "date" ? "date" : "text"} maxlength="80" autocomplete="off"
        .value=${this.draft ?? this.value ?? ""} @input=${this.typed} @change=${this.enter} />
      <p class="hint">${meaning}</p>`;
  }

  /** Moves the focus into the input. */
  focus() {
    this.renderRoot.querySelector("input")?.focus();
  }

  /** @param {Event} event */
  typed(event) {
    const { value } = /** @type {HTMLInputElement} */ (event.target);
    const text = value === (this.value ?? "") ? null : value;
    const detail = { path: this.path, text, local: this.local };
    this.dispatchEvent(new CustomEvent("draft", { detail, bubbles: true, composed: true }));
  }

  /** @param {Event} event */
  enter(event) {
    const { value } = /** @type {HTMLInputElement} */ (event.target);
    const detail = { path: this.path, value: value.trim() || null, local: this.local, saved: null };
    this.dispatchEvent(new CustomEvent("commit", { detail, bubbles: true, composed: true }));
  }
}

customElements.define("gl-line", TextLine);
