/**
 * The aphakic refraction as sphere and cylinder. In minus notation each number is stored as it is typed; in plus
 * notation the three are typed, turned by the core and stored together. Both forms of what is stored stand beneath.
 */
import { LitElement, html, nothing } from "lit";
import "../../elements/all.js";
import { notation } from "../../elements/notation.js";
import { t } from "../../words/words.js";
import { axis, number } from "../stage/fields.js";
import { LocalForm } from "../stage/local-form.js";
import { localAxis, localNumber } from "../stage/local-inputs.js";
import { commit, valueAt } from "../stage/records.js";
import { stageStyles } from "../stage/styles.js";
import { TypedRefraction, cylinderHint } from "../stage/typed-refraction.js";

const KEYS = ["sphere_d", "cylinder_d", "axis_deg"];
const SPHERE = { field: "aphakic_refraction_d", label: t.plan.sphere };

export class AphakicCylinder extends LitElement {
  static properties = { case: { attribute: false }, drafts: { attribute: false } };

  static styles = stageStyles;

  constructor() {
    super();
    /** @type {Record<string, any> | null} */
    this.case = null;
    /** @type {Record<string, string> | null} */
    this.drafts = null;
    this.form = new LocalForm(this, "aphakic_typed");
    this.typed = new TypedRefraction(this, () => this.form.values, () => false);
    this.stored = new TypedRefraction(this, () => Object.fromEntries(KEYS.map((key) => [key, valueAt(this.case, `aphakic.${key}`)])), () => false);
  }

  connectedCallback() {
    super.connectedCallback();
    this.form.restore();
  }

  willUpdate() {
    this.typed.follow();
    this.stored.follow();
  }

  async enter() {
    const { minus } = this.typed;
    if (!minus) return;
    await commit(this, "aphakic", { ...this.case?.aphakic, ...minus });
    this.form.clear();
  }

  render() {
    if (!this.case) return nothing;
    const plus = notation.settings.cylinder_notation === "plus";
    return html`<div class="stack">${plus ? this.renderTyped() : this.renderDirect()}
      ${this.stored.minus ? html`<div data-role="stored-forms"><p class="hint">${t.plan.enteredForEye}</p>${this.stored.forms()}</div>` : nothing}</div>`;
  }

  renderDirect() {
    return html`<div class="pairs">${number(this, "aphakic.sphere_d", SPHERE)} ${number(this, "aphakic.cylinder_d")}</div>
      ${axis(this, "aphakic.axis_deg")}`;
  }

  renderTyped() {
    const begun = this.typed.begun;
    return html`<div class="pairs">${localNumber(this, this.form, "sphere_d", SPHERE)}
        ${localNumber(this, this.form, "cylinder_d", { field: "cylinder_entered_d", hint: cylinderHint() })}</div>
      ${localAxis(this, this.form, "axis_deg")} ${this.typed.render()}
      ${begun ? html`<button type="button" class="main" ?disabled=${!this.typed.minus} @click=${this.enter}>${t.plan.enterRefraction}</button>` : nothing}`;
  }
}

customElements.define("gl-aphakic-cylinder", AphakicCylinder);
