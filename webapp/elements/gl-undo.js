import { LitElement, css, html, nothing } from "lit";
import { buttons, shared } from "./shared-style.js";
import { t } from "../words/words.js";

/**
 * What was saved last, with one button that takes it back. Fires `undo`. Its place is kept while there is
 * nothing to say, and never grows: what stands above it does not move under a finger.
 */
export class GlUndo extends LitElement {
  static properties = { message: { type: String }, possible: { type: Boolean } };

  static styles = [shared, buttons, css`
    :host { display: block; }
    div { display: flex; align-items: center; gap: var(--gap-3); padding: 0 var(--gap-2) 0 var(--gap-4); height: calc(2.5 * var(--text-small) + 8px);
      min-height: 48px; background: var(--sunken); border-top: 1px solid var(--rule); overflow: hidden; }
    p { flex: 1; min-width: 0; font-size: var(--text-small); line-height: 1.25; display: -webkit-box; -webkit-box-orient: vertical;
      -webkit-line-clamp: 2; line-clamp: 2; overflow: hidden; }
    button { border: 0; }
  `];

  constructor() {
    super();
    this.message = "";
    this.possible = false;
  }

  undo() {
    this.dispatchEvent(new CustomEvent("undo", { bubbles: true, composed: true }));
  }

  render() {
    return html`<div><p role="status">${this.message ? `✓ ${this.message}` : ""}</p>
      ${this.possible ? html`<button type="button" class="quiet" @click=${this.undo}>${t.elements.undo}</button>` : nothing}</div>`;
  }
}

customElements.define("gl-undo", GlUndo);
