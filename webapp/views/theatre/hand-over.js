/**
 * The hand-over view: the facts that matter now, read-only and very large. It needs no touch;
 * the screen is asked to stay lit, and whether it does is shown.
 */
import { LitElement, css, html, nothing } from "lit";
import { plain, range, signed } from "../../elements/format.js";
import { buttons, shared } from "../../elements/shared-style.js";
import { nothingToCut } from "./advice-words.js";
import { WakeLock } from "./wake-lock.js";
import { t } from "../../words/words.js";

export class HandOver extends LitElement {
  static properties = {
    record: { attribute: false },
    theatre: { attribute: false },
    clocks: { attribute: false },
    old: { type: Boolean },
  };

  static styles = [shared, buttons, css`
    :host { position: fixed; inset: 0; z-index: 20; overflow: auto; background: var(--ground); color: var(--ink);
      padding: max(var(--gap-3), env(safe-area-inset-top)) var(--gap-4) max(var(--gap-4), env(safe-area-inset-bottom)); }
    main { display: flex; flex-direction: column; gap: var(--gap-3); min-height: 100%; }
    .eye { font-size: 28px; }
    .word { font-size: clamp(32px, 9vw, 44px); font-weight: 700; line-height: 1.15; }
    .label { font-size: 28px; color: var(--ink-soft); }
    .value { font-size: clamp(52px, 15vw, 92px); font-weight: 800; line-height: 1.05; white-space: nowrap; }
    .two { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(11rem, 100%), 1fr)); gap: var(--gap-3) var(--gap-5); }
    .say { font-size: 32px; line-height: 1.25; }
    .old { border: 4px dashed var(--caution); color: var(--caution); font-size: 32px; font-weight: 700; padding: var(--gap-2); }
    footer { margin-block-start: auto; display: flex; flex-wrap: wrap; gap: var(--gap-3); justify-content: space-between; align-items: center; }
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
    this.lock = new WakeLock(this);
  }

  render() {
    return html`<main>
      <gl-eye class="eye" eye=${this.record?.eye ?? ""} code=${this.record?.code ?? ""} ?demo=${this.record?.demo}></gl-eye>
      ${this.old ? html`<p class="old" role="status">${t.theatre.outDateInputHas}</p>` : nothing}
      ${this.facts()}
      <footer><span class="small" role="status">${this.lock.sentence}</span>
        <button type="button" class="main" @click=${this.leave}>${t.theatre.backSteps}</button></footer>
    </main>`;
  }

  facts() {
    const advice = this.theatre?.advice;
    if (!advice) return html`<p class="word">${this.theatre?.blocked?.reason ?? t.theatre.noAdviceYetTake}</p>`;
    return html`${advice.no_useful_adjustment ? html`<p class="word">${nothingToCut(advice)}</p>`
      : html`<div class="two">
          ${this.cut(this.clocks.a, advice.cut_mm[0])}${this.cut(this.clocks.b, advice.cut_mm[1])}</div>`}
      <div><p class="label">${t.theatre.expected}</p><p class="value">${signed(advice.final.mean_d, "refraction_d")}</p>
        <p class="say">80 %: ${range(advice.final.low80_d, advice.final.high80_d, "refraction_d")}</p></div>
      <p class="say">${this.theatre.lever}</p>`;
  }

  /** @param {string} clock @param {number} length */
  cut(clock, length) {
    return html`<p><span class="word">${t.theatre.cut4(clock)}</span><br><span class="value">${plain(length, "cut_mm")}</span></p>`;
  }

  leave() {
    this.dispatchEvent(new CustomEvent("leave"));
  }
}

customElements.define("gl-hand-over", HandOver);
