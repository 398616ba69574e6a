import { LitElement, css, html, nothing } from "lit";
import { notation } from "../../elements/notation.js";
import { buttons, shared } from "../../elements/shared-style.js";
import { newCode } from "../../store/codes.js";
import { newCase } from "../../store/new-case.js";
import { eyeAddress } from "../router.js";
import { t } from "../../words/words.js";
import { side } from "../../words/side.js";

/** @typedef {import("../../store/store.js").Store} Store */
/** @typedef {import("../../store/store.js").Case} Case */

/** The unit the surgeon set for new eyes, or none: then it is asked. */
function cornealUnit() {
  const set = notation.settings.corneal_notation;
  return set === "ask" ? null : set;
}

const OTHER = { right: "left", left: "right" };

/** A new eye: which eye is asked, never assumed; nothing that names the patient is typed. */
export class NewEye extends LitElement {
  static properties = {
    store: { attribute: false },
    eye: { state: true },
    eyes: { state: true },
    fellow: { state: true },
    fault: { state: true },
    saving: { state: true },
  };

  static styles = [shared, buttons, css`
    :host { display: grid; gap: var(--gap-4); grid-template-columns: minmax(0, 1fr); }
    select { width: 100%; min-height: var(--touch); margin-top: var(--gap-1); padding: 0 var(--gap-3); border: 2px solid var(--edge);
      border-radius: var(--round); background: var(--surface); color: var(--ink); font: inherit; font-weight: 600; }
    label { font-weight: 600; }
    .actions { display: grid; gap: var(--gap-2); }
  `];

  constructor() {
    super();
    /** @type {Store | null} */
    this.store = null;
    /** @type {"right" | "left" | null} */
    this.eye = null;
    /** @type {Case[]} */
    this.eyes = [];
    this.fellow = "";
    this.fault = "";
    this.saving = false;
  }

  firstUpdated() {
    return this.begin();
  }

  /** An empty form, beside the eyes that are stored now. */
  async begin() {
    Object.assign(this, { eye: null, fellow: "", fault: "", saving: false });
    const all = await /** @type {Store} */ (this.store).list();
    this.eyes = all.filter((record) => !record.demo);
  }

  /** The other eye of the same person, when there is one. */
  get fellowCase() {
    return this.eyes.find((record) => record.code === this.fellow) ?? null;
  }

  /** Why these two cannot belong together, or nothing. */
  get clash() {
    const fellow = this.fellowCase;
    if (!fellow || !this.eye) return "";
    const taken = this.eyes.filter((record) => record.code === fellow.code || (fellow.person && record.person === fellow.person));
    const clash = taken.find((record) => record.eye === this.eye);
    return clash ? t.eyes.alreadyEyePersonChoose(clash.code, side(this.eye), side(OTHER[this.eye])) : "";
  }

  async add() {
    if (!this.eye || this.clash || this.saving) return;
    this.saving = true;
    try {
      const record = await this.save(this.eye);
      location.hash = eyeAddress(record.code, "plan");
      // Whoever comes straight back finds this same element: it must know the eye just added.
      await this.begin();
    } catch (reason) {
      this.fault = t.eyes.notSaved(/** @type {Error} */ (reason).message);
      this.saving = false;
    }
  }

  /** @param {"right" | "left"} eye */
  async save(eye) {
    const store = /** @type {Store} */ (this.store);
    const all = await store.list();
    const taken = new Set(all.flatMap((record) => [record.code, record.person].filter(Boolean)));
    const record = newCase({ code: newCode(taken), eye, person: await this.personCode(taken), k_unit: cornealUnit() });
    return store.create(record);
  }

  /** The fellow eye's person code; a fresh one for both when it has none. @param {Set<string>} taken */
  async personCode(taken) {
    const fellow = this.fellowCase;
    if (!fellow) return null;
    if (fellow.person) return fellow.person;
    const person = newCode(taken);
    await this.store?.commit(fellow.code, "person", person);
    return person;
  }

  render() {
    return html`<h1>${t.eyes.newEye}</h1>
      <gl-banner kind="info" heading=${t.eyes.readPatientsTwoIdentifiers}><p>${t.eyes.theyNotTypedHere}</p></gl-banner>
      <gl-card heading=${t.eyes.whichEye}><gl-choice local field="eye" path="new.eye" .value=${this.eye}
        @commit=${(/** @type {CustomEvent} */ event) => { this.eye = event.detail.value; }}></gl-choice></gl-card>
      ${this.eyes.length ? this.renderFellow() : nothing}
      ${this.clash ? html`<gl-banner kind="stop" heading=${t.eyes.sameEyeTwice}><p>${this.clash}</p></gl-banner>` : nothing}
      ${this.fault ? html`<gl-banner kind="stop" heading=${t.eyes.didNotWork}><p>${this.fault}</p></gl-banner>` : nothing}
      <div class="actions"><button type="button" class="main wide" ?disabled=${!this.eye || this.clash !== "" || this.saving} @click=${this.add}>
        ${this.eye ? t.eyes.addEye(side(this.eye)) : t.eyes.chooseEyeFirst}</button>
        <a class="button quiet" href="#/eyes">${t.eyes.cancel}</a></div>`;
  }

  renderFellow() {
    return html`<gl-card heading=${t.eyes.samePersonAs}><label>${t.eyes.anotherEyePerson}
      <select @change=${(/** @type {Event} */ event) => { this.fellow = /** @type {HTMLSelectElement} */ (event.target).value; }}>
        <option value="">${t.eyes.noneDevice}</option>
        ${this.eyes.map((record) => html`<option value=${record.code}>${record.code}, ${side(record.eye) || t.eyes.eyeNotChosen}</option>`)}
      </select></label></gl-card>`;
  }
}

customElements.define("gl-new-eye", NewEye);
