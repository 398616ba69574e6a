import { LitElement, css, html } from "lit";
import { shared } from "./shared-style.js";
import { fieldOf } from "./format.js";
import "./gl-choice.js";

const WORDS = { yes: "Yes", no: "No" };

/** Yes or no, unanswered to begin with. Fires `commit` {path, value: true | false, local}. */
export class GlFlag extends LitElement {
  static properties = {
    field: { type: String },
    path: { type: String },
    label: { type: String },
    hint: { type: String },
    value: { attribute: false },
    draft: { attribute: false },
    local: { type: Boolean },
    disabled: { type: Boolean },
  };

  static styles = [shared, css`:host { display: block; }`];

  constructor() {
    super();
    this.field = "";
    this.path = "";
    this.label = "";
    this.hint = "";
    /** @type {boolean | null} */
    this.value = null;
    /** @type {string | null} */
    this.draft = null;
    this.local = false;
    this.disabled = false;
  }

  /** @param {CustomEvent} event */
  passOn(event) {
    event.stopPropagation();
    const detail = { ...event.detail, value: event.detail.value === "yes" };
    if (this.local) this.value = detail.value;
    this.dispatchEvent(new CustomEvent("commit", { detail, bubbles: true, composed: true }));
    event.detail.saved = detail.saved;
  }

  render() {
    const chosen = this.value === true ? "yes" : this.value === false ? "no" : null;
    return html`<gl-choice field=${this.field} path=${this.path} label=${this.label || fieldOf(this.field).label}
      hint=${this.hint} .options=${WORDS} .value=${chosen} .draft=${this.draft} ?local=${this.local}
      ?disabled=${this.disabled} @commit=${this.passOn}></gl-choice>`;
  }
}

customElements.define("gl-flag", GlFlag);
