import { LitElement, css, html } from "lit";
import { buttons, shared } from "./shared-style.js";
import { t } from "../words/words.js";

const HOLD_MS = 1100;

/**
 * Hold to confirm; fires `confirm`. A keyboard or a screen reader cannot hold, so there the
 * button asks once more instead. Letting go early, or moving off, does nothing.
 */
export class GlHold extends LitElement {
  static properties = {
    label: { type: String },
    danger: { type: Boolean },
    disabled: { type: Boolean },
    holding: { state: true },
    asking: { state: true },
  };

  static styles = [shared, buttons, css`
    :host { display: block; }
    button { position: relative; overflow: hidden; width: 100%; min-height: var(--touch-main); border-color: var(--accent);
      user-select: none; -webkit-user-select: none; -webkit-touch-callout: none; }
    button.danger { border-color: var(--stop); color: var(--stop); }
    button::before { content: ""; position: absolute; inset: 0; background: var(--accent-soft); transform: scaleX(0); transform-origin: left; }
    button.danger::before { background: var(--stop-soft); }
    button.holding::before { transform: scaleX(1); transition: transform ${HOLD_MS / 1000}s linear; }
    span { position: relative; }
    small { position: relative; font-weight: 400; font-size: var(--text-small); white-space: nowrap; }
    .pair { display: flex; flex-wrap: wrap; gap: var(--gap-2); }
    .pair button { flex: 1 1 9rem; width: auto; }
    @media (prefers-reduced-motion: reduce) { button.holding::before { transform: scaleX(1); transition: none; } }
  `];

  constructor() {
    super();
    this.label = "";
    this.danger = false;
    this.disabled = false;
    this.holding = false;
    this.asking = false;
    /** @type {ReturnType<typeof setTimeout> | undefined} */
    this.timer = undefined;
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    this.release();
  }

  /** @param {PointerEvent} event */
  press(event) {
    if (event.button !== 0 || this.disabled) return;
    this.holding = true;
    this.timer = setTimeout(() => this.confirm(), HOLD_MS);
  }

  release() {
    clearTimeout(this.timer);
    this.holding = false;
  }

  /** @param {MouseEvent} event a click without a pointer comes from a keyboard or a screen reader */
  clicked(event) {
    if (event.detail === 0) this.asking = true;
  }

  confirm() {
    this.release();
    this.asking = false;
    this.dispatchEvent(new CustomEvent("confirm", { bubbles: true, composed: true }));
  }

  render() {
    if (this.asking) return this.renderAsking();
    const look = `${this.danger ? "danger" : ""} ${this.holding ? "holding" : ""}`;
    return html`<button type="button" class=${look} ?disabled=${this.disabled}
      @pointerdown=${this.press} @pointerup=${this.release} @pointerleave=${this.release} @pointercancel=${this.release}
      @click=${this.clicked} @contextmenu=${(/** @type {Event} */ e) => e.preventDefault()}>
      <span>${this.label}</span><small>${this.holding ? t.elements.keepHolding : t.elements.hold}</small></button>`;
  }

  renderAsking() {
    return html`<div class="pair" role="group" aria-label=${this.label}>
      <button type="button" class=${this.danger ? "danger" : "main"} @click=${this.confirm}><span>${t.elements.confirm(this.label)}</span></button>
      <button type="button" @click=${() => { this.asking = false; }}><span>${t.elements.cancel}</span></button></div>`;
  }
}

customElements.define("gl-hold", GlHold);
