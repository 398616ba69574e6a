/** Putting lenses in: one power or a run of powers of one model, typed from the label. */
import { html, nothing } from "lit";
import { signed } from "../../elements/format.js";
import { ask } from "../../worker/client.js";
import { LocalForm } from "../stage/local-form.js";
import { localChoice, localLine, localNumber } from "../stage/local-inputs.js";
import { today } from "../stage/records.js";
import "../stage/line.js";
import { t } from "../../words/words.js";

/** @typedef {import("./box-view.js").BoxView} BoxView */
/** @typedef {import("../../store/box.js").Row} Row */

const CONSTANTS = ["a", "pacd_mm", "surgeon_factor_mm", "a0", "a1", "a2"];
const SIZES = ["lens_length_mm", "optic_diameter_mm", "haptic_length_mm"];
const LABEL = [...CONSTANTS, ...SIZES, "constants_source", "expires_on"];
/** What an untouched form holds. */
const START = { how: "one" };
const HOW = { one: t.box.onePower, run: t.box.runPowers };

export class LensForm extends LocalForm {
  /** @param {BoxView} view */
  constructor(view) {
    super(view, "new_lens");
    this.view = view;
  }

  restore() {
    super.restore();
    this.values = { ...START, ...this.values };
  }

  /** Another power of a model that is in the box. @param {Row} row */
  start(row) {
    this.view.forgetDrafts();
    this.values = { ...START };
    const same = ["lens_name", ...CONSTANTS, ...SIZES, "constants_source"];
    this.set(Object.fromEntries(same.filter((name) => row[name] != null).map((name) => [name, row[name]])));
  }

  get isRun() {
    return this.values.how === "run";
  }

  /** What is still to be entered before the lenses can be put in. @returns {string[]} */
  get missing() {
    const { values } = this;
    const needed = this.isRun ? { from_d: t.box.firstPower, to_d: t.box.lastPower, power_step: t.box.step } : { lens_power_d: t.box.power };
    const open = Object.entries(needed).filter(([key]) => values[key] == null).map(([, word]) => word);
    return Number.isInteger(values.lens_count) && values.lens_count > 0 ? open : [...open, t.box.wholeNumberPieces];
  }

  async put() {
    this.saving = true;
    this.fault = "";
    this.view.requestUpdate();
    try {
      const powers = this.isRun ? await this.powers() : [this.values.lens_power_d];
      const words = t.box.powersPut(powers.length, signed(powers[0], "lens_power_d"));
      if (await this.view.saved(this.view.box.putIn(words, powers.map((power) => this.row(power))), words)) this.clear();
    } catch (reason) {
      this.fault = String(/** @type {Error} */ (reason).message);
    }
    this.saving = false;
    this.view.requestUpdate();
  }

  /** The core names the powers of a run. @returns {Promise<number[]>} */
  async powers() {
    const { from_d, to_d, power_step } = this.values;
    const { value } = await ask("box", { lenses: [], today: today(), run: { from_d, to_d, power_step } });
    return value.run_d;
  }

  /** @param {number} power @returns {Omit<Row, "id">} */
  row(power) {
    const { values } = this;
    const label = Object.fromEntries(LABEL.map((name) => [name, values[name] ?? null]));
    return { lens_name: values.lens_name ?? null, lens_power_d: power, lens_count: values.lens_count, ...label };
  }

  clear() {
    super.clear();
    this.values = { ...START };
    this.view.forgetDrafts();
  }
}

/** @param {BoxView} view */
export function lensForm(view) {
  const { form } = view;
  const number = (/** @type {string} */ key, /** @type {string} */ label = "") =>
    localNumber(view, form, key, { ...(label ? { field: "lens_power_d", label } : {}) });
  return html`
    ${localLine(view, form, "lens_name")}
    ${localChoice(view, form, "how", { field: "power_step", label: t.box.put, options: HOW })}
    <div class="pairs">${form.isRun ? html`${number("from_d", t.box.firstPower2)} ${number("to_d", t.box.lastPower2)}` : number("lens_power_d")}
      ${localNumber(view, form, "lens_count", form.isRun ? { label: t.box.piecesEach } : {})}</div>
    ${form.isRun ? localChoice(view, form, "power_step") : nothing}
    ${localNumber(view, form, "a")}
    ${localLine(view, form, "constants_source")} ${localLine(view, form, "expires_on")}
    <details><summary>${t.box.otherConstantsSizesFrom}</summary>
      <p class="hint">${t.box.constantLeftEmptyDerived}</p>
      <div class="fields">${[...CONSTANTS.slice(1), ...SIZES].map((key) => number(key))}</div></details>
    ${form.values.a == null ? html`<p class="hint">${t.box.withoutConstantFromLabel}</p>` : nothing}
    <button type="button" class="main wide" ?disabled=${form.missing.length > 0 || form.saving} @click=${() => form.put()}>${t.box.putIntoBox}</button>
    ${form.missing.length ? html`<p class="hint">${t.box.stillNeeded(form.missing.join(", "))}</p>` : nothing}
    ${form.fault ? html`<gl-banner kind="stop">${form.fault}</gl-banner>` : nothing}`;
}

