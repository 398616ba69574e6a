import { LitElement, css, html, nothing } from "lit";
import { shared } from "./shared-style.js";
import { notation } from "./notation.js";
import { activeField, keyField, keypadLink, nextField } from "./keypad-link.js";
import { t } from "../words/words.js";

const DIGITS = ["1", "2", "3", "4", "5", "6", "7", "8", "9"];

/** The keypad of the number field being typed into; hidden when there is none. */
export class GlKeypad extends LitElement {
  static properties = { open: { type: Boolean, reflect: true } };

  static styles = [shared, css`
    :host { display: none; }
    :host([open]) { display: block; background: var(--sunken); border-top: 2px solid var(--edge); }
    .keys {
      display: grid; grid-template-columns: repeat(3, 1fr); gap: 6px; direction: ltr;
      padding: 6px 6px max(6px, env(safe-area-inset-bottom)); max-width: 30rem; margin: 0 auto;
    }
    button {
      min-width: 0; height: 56px; padding: 0; border: 1px solid var(--edge); border-radius: var(--round);
      background: var(--surface); color: var(--ink); font: inherit; font-size: clamp(1rem, 7vmin, 32px); font-weight: 600;
      line-height: 1; font-variant-numeric: tabular-nums; touch-action: manipulation; user-select: none;
      -webkit-user-select: none; -webkit-tap-highlight-color: transparent; cursor: pointer;
    }
    button:active { background: var(--accent); color: var(--on-accent); }
    button:disabled { background: transparent; border-style: dashed; color: var(--ink-soft); }
    .word { font-size: clamp(1rem, 5vmin, 22px); }
    .signs { display: grid; grid-template-columns: 1fr 1fr; gap: 4px; }
    .signs button[aria-pressed="true"] { background: var(--ink); color: var(--ground); border-width: 3px; }
    .apart { margin-top: 10px; }
    .done { background: var(--accent); color: var(--on-accent); border-color: var(--accent); }
    .done:active { background: var(--ink); color: var(--ground); }
    @media (min-height: 700px) { button { height: 72px; } }
    @media (orientation: landscape) and (max-height: 520px) {
      :host([open]) { border-top: 0; border-inline-start: 2px solid var(--edge); height: 100%; overflow: auto; }
      .keys { min-width: 17rem; }
      button { height: max(48px, calc((100dvh - 54px) / 5)); max-height: 72px; }
    }
  `];

  constructor() {
    super();
    this.open = false;
    this.refresh = () => {
      this.open = activeField() !== null;
      this.requestUpdate();
    };
  }

  connectedCallback() {
    super.connectedCallback();
    keypadLink.addEventListener("change", this.refresh);
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    keypadLink.removeEventListener("change", this.refresh);
  }

  render() {
    const field = activeField();
    if (!field) return nothing;
    const next = nextField();
    return html`<div class="keys" role="group" aria-label=${t.elements.keypad(field.name)} @mousedown=${keepFocus}>
      ${DIGITS.map((digit) => this.key(digit, digit))}
      ${this.key(notation.mark, t.elements.decimalSeparator)}
      ${this.key("0", "0")}
      <button type="button" tabindex="-1" aria-label=${t.elements.deleteOne} @click=${() => keyField()?.press("back")}>⌫</button>
      ${this.renderSign(field)}
      <button type="button" tabindex="-1" class="word apart" ?disabled=${!next} @click=${() => next?.take()}>${t.elements.next}</button>
      <button type="button" tabindex="-1" class="word apart done" @click=${() => field.leave()}>${t.elements.done}</button>
    </div>`;
  }

  /**
   * @param {string} key
   * @param {string} name
   */
  key(key, name) {
    return html`<button type="button" tabindex="-1" aria-label=${name} @click=${() => keyField()?.press(key)}>${key}</button>`;
  }

  /** A key for each sign: what a press does never depends on what was pressed before. @param {import("./keypad-link.js").NumberField} field */
  renderSign(field) {
    if (!field.signed) return html`<button type="button" tabindex="-1" class="apart" disabled aria-label=${t.elements.numberHasNoSign}>±</button>`;
    const now = field.text.trim().charAt(0);
    return html`<div class="signs apart">
      ${this.signKey("+", "+", t.elements.plus, now === "+")}${this.signKey("-", "\u2212", t.elements.minus, /^[-\u2212]/.test(now))}</div>`;
  }

  /** @param {string} key @param {string} shown @param {string} name @param {boolean} on */
  signKey(key, shown, name, on) {
    return html`<button type="button" tabindex="-1" aria-label=${name} aria-pressed=${on ? "true" : "false"}
      @click=${() => keyField()?.press(key)}>${shown}</button>`;
  }
}

/** @param {Event} event */
function keepFocus(event) {
  event.preventDefault();
}

customElements.define("gl-keypad", GlKeypad);
