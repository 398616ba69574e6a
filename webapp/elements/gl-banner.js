import { LitElement, css, html, nothing } from "lit";
import { shared } from "./shared-style.js";
import { t } from "../words/words.js";

/** @type {Record<string, {icon: string, word: string}>} */
const KINDS = {
  info: { icon: "i", word: t.elements.note },
  caution: { icon: "!", word: t.elements.caution },
  stop: { icon: "✕", word: t.elements.stop },
  done: { icon: "✓", word: t.elements.done },
};

/** A message with icon and word. `kind`: info, caution, stop or done; `heading` replaces the word. */
export class GlBanner extends LitElement {
  static properties = { kind: { type: String, reflect: true }, heading: { type: String } };

  static styles = [shared, css`
    :host { display: block; --tone: var(--accent); --under: var(--accent-soft); }
    :host([kind="caution"]) { --tone: var(--caution); --under: var(--caution-soft); }
    :host([kind="stop"]) { --tone: var(--stop); --under: var(--stop-soft); }
    :host([kind="done"]) { --tone: var(--done); --under: var(--done-soft); }
    div {
      display: grid; grid-template-columns: auto 1fr; gap: var(--gap-1) var(--gap-3); align-items: start;
      padding: var(--gap-3) var(--gap-4); border-radius: var(--round); border-inline-start: 6px solid var(--tone);
      background: var(--under); color: var(--ink);
    }
    i {
      display: grid; place-items: center; width: 1.5em; height: 1.5em; border-radius: 50%;
      background: var(--tone); color: var(--under); font-style: normal; font-weight: 800; line-height: 1;
    }
    :host([kind="caution"]) i { border-radius: 0.2em; transform: rotate(45deg); }
    :host([kind="caution"]) i b { transform: rotate(-45deg); }
    :host([kind="stop"]) i { border-radius: 0.3em; }
    strong { color: var(--tone); align-self: center; }
    section { grid-column: 2; min-width: 0; }
  `];

  constructor() {
    super();
    this.kind = "info";
    this.heading = "";
  }

  render() {
    const { icon, word } = KINDS[this.kind] ?? KINDS.info;
    return html`<div role=${this.kind === "stop" ? "alert" : "note"}>
      <i aria-hidden="true"><b>${icon}</b></i><strong>${this.heading ? html`<span class="unseen">${word}: </span><span>${this.heading}</span>` : word}</strong>
      <section><slot></slot></section></div>${nothing}`;
  }
}

customElements.define("gl-banner", GlBanner);
