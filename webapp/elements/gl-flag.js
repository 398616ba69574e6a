import { css, html } from "lit";
import { EntryElement } from "./entry-element.js";
import { shared } from "./shared-style.js";
import { fieldOf } from "./format.js";
import "./gl-choice.js";
import { t } from "../words/words.js";

const WORDS = { yes: t.elements.yes, no: t.elements.no };

/** Yes or no, unanswered to begin with. Fires `commit` {path, value: true | false, local}. */
export class GlFlag extends EntryElement {
  static styles = [shared, css`:host { display: block; }`];

  constructor() {
    super();
    /** @type {boolean | null} */
    this.value = null;
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
