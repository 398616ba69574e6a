/**
 * The hand-over view: the facts that matter now, read-only and very large. It needs no touch;
 * the theatre asks the screen to stay lit, and whether it does is shown.
 */
import { LitElement, css, html, nothing } from "lit";
import { plain, range, signed, when } from "../../elements/format.js";
import { buttons, shared } from "../../elements/shared-style.js";
import { saysTheSame } from "../stage/read-back.js";
import { nothingToCut } from "./advice-words.js";
import { t } from "../../words/words.js";

export class HandOver extends LitElement {
  static properties = {
    record: { attribute: false },
    theatre: { attribute: false },
    clocks: { attribute: false },
    old: { type: Boolean },
    lit: { type: String },
  };

  static styles = [shared, buttons, css`
    :host { position: fixed; inset: 0; z-index: 20; overflow: auto; background: var(--ground); color: var(--ink);
      padding: max(var(--gap-3), env(safe-area-inset-top)) var(--gap-4) max(var(--gap-4), env(safe-area-inset-bottom)); }
    main { display: flex; flex-direction: column; gap: var(--gap-3); min-height: 100%; }
    .eye { font-size: 28px; }
    .facts { display: grid; gap: var(--gap-3) var(--gap-5); grid-template-columns: repeat(auto-fit, minmax(min(20rem, 100%), 1fr)); align-content: start; }
    .word { font-size: clamp(32px, 9vmin, 44px); font-weight: 700; line-height: 1.15; }
    .label { font-size: 28px; color: var(--ink-soft); }
    .value { font-size: clamp(60px, 17vmin, 96px); font-weight: 800; line-height: 1.05; white-space: nowrap; }
    .two { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(11rem, 100%), 1fr)); gap: var(--gap-3) var(--gap-5); }
    .say { font-size: 32px; line-height: 1.25; }
    .own { border-inline-start: 8px solid var(--caution); padding-inline-start: var(--gap-3); color: var(--caution); font-size: 32px; font-weight: 700; }
    .old { border: 4px dashed var(--caution); color: var(--caution); font-size: 32px; font-weight: 700; padding: var(--gap-2); }
    footer { margin-block-start: auto; display: flex; flex-wrap: wrap; gap: var(--gap-3); justify-content: space-between; align-items: center; }
    footer span { flex: 1 1 14rem; font-size: 20px; }
  `];

  constructor() {
    super();
    /** @type {any} */
    this.record = null;
    /** @type {any} the newest answer of theatre_case */
    this.theatre = null;
    /** @type {{a: string, b: string}} */
    this.clocks = { a: "", b: "" };
    this.old = false;
    /** Whether the screen stays lit, in words. */
    this.lit = "";
  }

  render() {
    return html`<main>
      <gl-eye class="eye" eye=${this.record?.eye ?? ""} code=${this.record?.code ?? ""} ?demo=${this.record?.demo}></gl-eye>
      ${this.old ? html`<p class="old" role="status">${t.theatre.outDateInputHas}</p>` : nothing}
      ${this.facts()}
      <footer><span role="status">${this.lit}</span>
        <button type="button" class="main" @click=${this.leave}>${t.theatre.backSteps}</button></footer>
    </main>`;
  }

  /** The decision as it stands: the surgeon's own cut in place of the advice, if that was chosen. */
  facts() {
    const { advice, decision } = this.theatre ?? {};
    if (!advice) return html`<p class="word">${this.theatre?.blocked?.reason ?? t.theatre.noAdviceYetTake}</p>`;
    const own = decision.decided_as === "own";
    return html`<div class="facts"><div>
        ${own ? html`<p class="own">${t.hands.ownCut}</p>` : nothing}
        ${advice.no_useful_adjustment && !own ? html`<p class="word">${nothingToCut(advice)}</p>`
          : html`<div class="two">${this.cut(this.clocks.a, decision.cut_a_mm)}${this.cut(this.clocks.b, decision.cut_b_mm)}</div>`}</div>
      <div><p class="label">${t.theatre.expected}</p><p class="value">${signed(decision.mean_d, "refraction_d")}</p>
        <p class="say">80 %: ${range(decision.low80_d, decision.high80_d, "refraction_d")}</p></div></div>
      <p class="say">${this.theatre.lever}</p><p class="say">${this.readBack()}</p>`;
  }

  /** @param {string} clock @param {number} length */
  cut(clock, length) {
    return html`<p><span class="word">${t.theatre.cut4(clock)}</span><br><span class="value">${plain(length, "cut_mm")}</span></p>`;
  }

  /** Whether exactly this was read back. */
  readBack() {
    const stored = (this.record?.readbacks ?? []).filter((/** @type {any} */ one) => one.kind === "cut" && one.by_two).at(-1);
    const lines = this.theatre.readback?.lines ?? [];
    return saysTheSame(stored?.values, lines) ? t.hands.readBackAt(when(stored.at)) : t.hands.notReadBack;
  }

  leave() {
    this.dispatchEvent(new CustomEvent("leave"));
  }
}

customElements.define("gl-hand-over", HandOver);
