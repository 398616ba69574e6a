/** Converts what was measured otherwise, shows each step, and stores it only when it is accepted. */
import { LitElement, css, html, nothing } from "lit";
import "../../elements/all.js";
import { LiveAnswer } from "../stage/live-answer.js";
import { LocalForm } from "../stage/local-form.js";
import { localChoice, localNumber } from "../stage/local-inputs.js";
import { commit } from "../stage/records.js";
import { cautions, withState } from "../stage/status.js";
import { stageStyles } from "../stage/styles.js";
import { t } from "../../words/words.js";

/** @typedef {{key: string, choice?: boolean, label?: string, optional?: boolean}} Input */

/** @type {Record<string, Input[]>} */
const INPUTS = {
  velocity: [{ key: "axial_length_mm", label: t.plan.lengthAsShown }, { key: "axial_method", choice: true }, { key: "velocity_m_s" }, { key: "lens_state", choice: true }],
  index: [{ key: "k1_d", label: t.plan.kFlatAsShown }, { key: "k2_d", label: t.plan.kSteepAsShown }, { key: "keratometer_index" }],
  total: [{ key: "k1_d", label: t.plan.totalPowerFlat }, { key: "k2_d", label: t.plan.totalPowerSteep }],
  laser: [{ key: "laser_for", choice: true }],
  no_length: [],
  no_cornea: [],
  depth: [{ key: "chamber_depth_mm" }, { key: "corneal_thickness_um", optional: true }],
};
/** @type {Input[]} */
const OF_THE_IMPLANT = [{ key: "lens_material", choice: true }, { key: "lens_thickness_mm" }];
const ORIGINS = ["axial_origin", "cornea_origin", "depth_origin"];

export class MeasuredOtherwise extends LitElement {
  static properties = { case: { attribute: false }, drafts: { attribute: false }, fellow: { attribute: false } };

  static styles = [...stageStyles, css`
    summary { min-height: var(--touch); display: flex; align-items: center; font-weight: 600; cursor: pointer; }
    summary::before { content: "▸"; margin-inline-end: var(--gap-2); }
    details[open] summary::before { content: "▾"; }
    .form { display: grid; gap: var(--gap-3); }
    .offer { padding: var(--gap-3); background: var(--sunken); border-radius: var(--round); display: grid; gap: var(--gap-2); }
    .offer strong { font-size: var(--text-large); }
  `];

  constructor() {
    super();
    /** @type {Record<string, any> | null} */
    this.case = null;
    /** @type {Record<string, string> | null} */
    this.drafts = null;
    /** @type {Record<string, any> | null} */
    this.fellow = null;
    this.form = new LocalForm(this, "otherwise");
    this.offer = new LiveAnswer(this, "measured_otherwise");
    this.asked = "";
  }

  connectedCallback() {
    super.connectedCallback();
    this.form.restore();
  }

  /** @returns {Input[]} */
  get inputs() {
    const { kind, lens_state } = this.form.values;
    return [...(INPUTS[kind] ?? []), ...(kind === "velocity" && lens_state === "pseudophakic" ? OF_THE_IMPLANT : [])];
  }

  get complete() {
    return this.form.values.kind && this.inputs.every(({ key, optional }) => optional || this.form.values[key] != null);
  }

  willUpdate() {
    if (!this.case || !this.complete) return;
    const given = Object.fromEntries(this.inputs.map(({ key }) => [key, this.form.values[key] ?? null]));
    const payload = { case: this.case, otherwise: this.form.values.kind, fellow: this.fellow, ...given };
    const asked = JSON.stringify(payload);
    if (asked === this.asked) return;
    this.asked = asked;
    this.offer.failure = null;
    this.offer.follow(payload);
  }

  /** @param {any} patch converted values with where they came from */
  async accept(patch) {
    const at = new Date().toISOString();
    const dated = Object.fromEntries(Object.entries(patch).map(([key, value]) => [key, ORIGINS.includes(key) ? { .../** @type {object} */ (value), at } : value]));
    await commit(this, "measurements", { ...this.case?.measurements, ...dated });
    this.form.clear();
  }

  render() {
    if (!this.case) return nothing;
    return html`${this.accepted()}<details ?open=${Boolean(this.form.values.kind)}><summary>${t.plan.measuredOtherwise}</summary><div class="form">
      <p class="hint">${t.plan.valueMeasuredAnotherWay}</p>
      ${localChoice(this, this.form, "kind", { field: "otherwise", label: t.plan.whatDifferent })}
      ${this.inputs.map((input) => input.choice ? localChoice(this, this.form, input.key, input) : localNumber(this, this.form, input.key, input))}
      ${this.complete ? withState(this.offer, () => this.offered()) : nothing}
      ${this.form.values.kind ? html`<button type="button" class="quiet" @click=${() => this.form.clear()}>${t.plan.cancel}</button>` : nothing}
    </div></details>`;
  }

  offered() {
    const { sentence, steps, patch } = this.offer.value;
    return html`<div class="offer" data-role="offer"><strong>${sentence}</strong>
      ${steps.map((/** @type {any} */ step) => html`<p>${step.text} <span class="hint">${step.source}</span></p>`)}
      ${cautions(this.offer.warnings)}
      <button type="button" class="main" ?disabled=${this.offer.stale} @click=${() => this.accept(patch)}>${t.plan.useValue}</button></div>`;
  }

  /** What was accepted earlier. */
  accepted() {
    const found = ORIGINS.map((name) => this.case?.measurements?.[name]).filter(Boolean);
    return found.map((origin) => html`<gl-banner kind="info" heading=${t.plan.convertedValue} data-role="converted">${origin.origin}
      <span class="hint">${origin.origin_source}</span></gl-banner>`);
  }
}

customElements.define("gl-measured-otherwise", MeasuredOtherwise);
