import { LitElement, css, html, svg } from "lit";
import { buttons, shared } from "../elements/shared-style.js";
import { t } from "../words/words.js";
import { nextTheme } from "./theme.js";

/** @typedef {import("./theme.js").Theme} Theme */

const RAYS = Array.from({ length: 8 }, (_, place) => place * 45);

/** A half moon, a lamp with thin rays, a full sun with thick ones. @type {Record<Theme, unknown>} */
const PICTURES = {
  clinic: svg`<circle cx="12" cy="12" r="4.5" fill="none" stroke="currentColor" stroke-width="2"/>
    ${RAYS.map((turn) => svg`<path d="M12 1.5V4" stroke="currentColor" stroke-width="1.6" transform="rotate(${turn} 12 12)"/>`)}`,
  theatre: svg`<path d="M15.5 3A9.5 9.5 0 1 0 21 15.5 8 8 0 0 1 15.5 3z" fill="currentColor"/>`,
  sun: svg`<circle cx="12" cy="12" r="5.5" fill="currentColor"/>
    ${RAYS.map((turn) => svg`<path d="M12 .8V4" stroke="currentColor" stroke-width="3.4" transform="rotate(${turn} 12 12)"/>`)}`,
};

/** @type {Record<Theme, () => string>} */
const NAMES = { clinic: () => t.shell.light, theatre: () => t.shell.dark, sun: () => t.shell.sun };

/** The look that is shown; one tap goes to the next. Fires `theme-switched`. */
export class ThemeSwitch extends LitElement {
  static properties = { theme: { type: String } };

  static styles = [shared, buttons, css`
    :host { display: block; }
    button { min-height: 44px; min-width: 44px; padding: 0; border-color: transparent; background: transparent; color: var(--ink-soft); }
    svg { width: 24px; height: 24px; }
  `];

  constructor() {
    super();
    /** @type {Theme} */
    this.theme = "clinic";
  }

  render() {
    const words = t.shell.changeLook(NAMES[this.theme](), NAMES[nextTheme(this.theme)]());
    return html`<button type="button" aria-label=${words} title=${words}
      @click=${() => this.dispatchEvent(new CustomEvent("theme-switched", { bubbles: true, composed: true }))}>
      <svg viewBox="0 0 24 24" aria-hidden="true">${PICTURES[this.theme]}</svg></button>`;
  }
}

customElements.define("gl-theme-switch", ThemeSwitch);
