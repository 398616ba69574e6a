/** What the surgeon will see from the seat, and what lies around the limbus. */
import { LitElement, css, html, nothing } from "lit";
import "../../charts/microscope-drawing.js";
import "../../elements/all.js";
import { fieldOf } from "../../elements/format.js";
import { LiveAnswer } from "../stage/live-answer.js";
import { LocalForm } from "../stage/local-form.js";
import { localChoice } from "../stage/local-inputs.js";
import { commit, stamp } from "../stage/records.js";
import { withState } from "../stage/status.js";
import { stageStyles } from "../stage/styles.js";
import { t } from "../../words/words.js";

/** @typedef {import("../../charts/microscope-drawing.js").Mark} Mark */

export class AroundCard extends LitElement {
  static properties = {
    case: { attribute: false },
    drafts: { attribute: false },
    adding: { state: true },
  };

  static styles = [...stageStyles, css`
    ol { margin: 0; padding: 0; list-style: none; counter-reset: mark; display: grid; gap: var(--gap-2); }
    li { counter-increment: mark; display: flex; align-items: center; gap: var(--gap-3); }
    li::before { content: counter(mark); min-width: 1.6em; text-align: center; font-weight: 800; background: var(--caution); color: var(--surface); }
    li span { flex: 1; }
    select { width: 100%; min-height: var(--touch); padding: 0 var(--gap-3); border: 2px solid var(--edge); border-radius: var(--round);
      background: var(--surface); color: var(--ink); font: inherit; font-weight: 600; }
    label { display: grid; gap: var(--gap-1); font-weight: 600; }
    .form, .body { display: grid; gap: var(--gap-3); }
  `];

  constructor() {
    super();
    /** @type {Record<string, any> | null} */
    this.case = null;
    /** @type {Record<string, string> | null} */
    this.drafts = null;
    this.adding = false;
    this.seen = new LiveAnswer(this, "microscope_case");
    this.form = new LocalForm(this, "mark");
  }

  connectedCallback() {
    super.connectedCallback();
    this.form.restore();
    this.adding = Object.keys(this.form.values).length > 0;
  }

  /** @param {Map<string, unknown>} changed */
  willUpdate(changed) {
    if (changed.has("case") && this.case) this.seen.follow({ case: this.case });
  }

  async add() {
    const { mark, at_clock } = this.form.values;
    const saved = await this.form.save("marks", { ...stamp(), mark, at_clock, withdrawn: null });
    if (saved) this.adding = false;
  }

  /** @param {string} id */
  takeAway(id) {
    return commit(this, `marks.${id}.withdrawn`, { at: new Date().toISOString(), reason: t.plan.removedFromPlan });
  }

  cancel() {
    this.form.clear();
    this.adding = false;
  }

  render() {
    return html`<gl-card heading=${t.plan.seenFromYourSeat}>${withState(this.seen, () => this.body())}</gl-card>`;
  }

  body() {
    const { missing, drawing, marks, cautions } = this.seen.value;
    return html`<div class="body">
      ${drawing ? html`<gl-microscope-drawing .drawing=${drawing} .marks=${marks}></gl-microscope-drawing>`
        : html`<p class="hint">${t.plan.drawnOnceTheseKnown(missing.map((/** @type {{message: string}} */ item) => item.message).join(" "))}</p>`}
      ${cautions.length ? html`<gl-banner kind="caution" heading=${t.plan.aroundEntries}>
        ${cautions.map((/** @type {{message: string}} */ caution) => html`<p>${caution.message}</p>`)}</gl-banner>` : nothing}
      ${marks.length ? html`<ol aria-label=${t.plan.markedAroundLimbus}>${marks.map((/** @type {Mark} */ mark) => html`<li><span>${mark.text}</span>
        <button type="button" class="quiet" aria-label=${t.plan.remove(mark.text)} @click=${() => this.takeAway(mark.id)}>${t.plan.remove2}</button></li>`)}</ol>` : nothing}
      ${this.adding ? this.renderForm() : html`<button type="button" class="quiet" @click=${() => { this.adding = true; }}>
        ${t.plan.markBlebPortInfusion}</button>`}
    </div>`;
  }

  renderForm() {
    const { mark, at_clock: clock } = this.form.values;
    return html`<div class="form" role="group" aria-label=${t.plan.newMark}>
      ${localChoice(this, this.form, "mark")}
      <label>${t.plan.clockHourSeenFrom(fieldOf("at_clock").label)}
        <select @change=${(/** @type {Event} */ event) => this.form.set({ at_clock: /** @type {HTMLSelectElement} */ (event.target).value || null })}>
          <option value="" ?selected=${!clock}>${t.plan.choose}</option>
          ${Object.keys(fieldOf("at_clock").choices).map((hour) => html`<option value=${hour} ?selected=${hour === clock}>${hour}</option>`)}
        </select></label>
      ${this.form.fault ? html`<gl-banner kind="stop">${this.form.fault}</gl-banner>` : nothing}
      <button type="button" class="main" ?disabled=${!mark || !clock || this.form.saving} @click=${this.add}>${t.plan.addMark}</button>
      <button type="button" class="quiet" @click=${this.cancel}>${t.plan.cancel}</button></div>`;
  }
}

customElements.define("gl-around-card", AroundCard);
