import { LitElement, css, html, nothing } from "lit";
import { shared } from "./shared-style.js";

/** A titled group. Slots: default, `aside` (beside the heading), `foot`. Attribute `heading`. */
export class GlCard extends LitElement {
  static properties = { heading: { type: String }, note: { type: String } };

  static styles = [shared, css`
    :host { display: block; min-width: 0; background: var(--surface); border: 1px solid var(--rule); border-radius: calc(var(--round) * 1.4); }
    header { display: flex; flex-wrap: wrap; gap: var(--gap-1) var(--gap-3); align-items: baseline; justify-content: space-between;
      padding: var(--gap-4) var(--gap-4) 0; }
    h2 { position: relative; min-width: 0; overflow-wrap: anywhere; padding-inline-start: 1.15rem; }
    h2::before { content: ""; position: absolute; inset-inline-start: 0; top: 0.36em; width: 0.55em; height: 0.55em;
      border: 2px solid var(--accent); border-radius: 50%; }
    .body { display: grid; grid-template-columns: minmax(0, 1fr); gap: var(--gap-4); padding: var(--gap-4); }
    ::slotted([slot="foot"]) { border-top: 1px solid var(--rule); padding: var(--gap-3) var(--gap-4); }
  `];

  constructor() {
    super();
    this.heading = "";
    this.note = "";
  }

  render() {
    return html`<section aria-label=${this.heading || nothing}>
      ${this.heading ? html`<header><h2>${this.heading}</h2><slot name="aside"></slot></header>` : nothing}
      <div class="body">${this.note ? html`<p class="soft small">${this.note}</p>` : nothing}<slot></slot></div>
      <slot name="foot"></slot></section>`;
  }
}

customElements.define("gl-card", GlCard);
