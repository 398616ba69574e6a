import { LitElement, html, nothing } from "lit";
import "../../elements/gl-banner.js";
import { anyText } from "../../elements/format.js";
import { inMark } from "../../elements/notation.js";
import { buttons, shared } from "../../elements/shared-style.js";
import { rich } from "../../words/rich.js";
import { t } from "../../words/words.js";
import { readDicom } from "../../worker/dicom.js";
import { dicomStyles } from "./dicom-styles.js";

/** @typedef {import("../../worker/dicom.js").Candidate} Candidate */
/** @typedef {import("../../worker/dicom.js").Entry} Entry */
/** @typedef {import("../../worker/dicom.js").Step} Step */
/** @typedef {import("../../worker/dicom.js").Way} Way */
/** @typedef {Record<string, any>} Values */

/** What is brought in where. @type {Record<string, string>} */
const HOLDS = { plan: t.dicom.holdsPlan, visit: t.dicom.holdsVisit };
/** @type {Record<string, string>} */
const ELSEWHERE = { plan: t.dicom.belongPlan, visit: t.dicom.belongVisit };
const STEPS = /** @type {Record<Step, string>} */ ({
  waiting: t.dicom.waiting, start: t.dicom.startingReader, library: t.dicom.bringingLibrary, file: t.dicom.readingFile,
});
const SIDES = { right: t.dicom.rightEye, left: t.dicom.leftEye };

/**
 * A DICOM file's measurements as candidates beside what is entered, taken one by one. `place`: "plan" or
 * "visit"; `values`: what is entered there now, by name. Fires `taken` {values} for one accepted way. The
 * file's name is never shown: people put the patient's into it.
 */
export class DicomCard extends LitElement {
  static properties = {
    eye: { type: String },
    place: { type: String },
    values: { attribute: false },
    read: { state: true },
    step: { state: true },
    fault: { state: true },
    stopped: { state: true },
  };

  static styles = [shared, buttons, dicomStyles];

  constructor() {
    super();
    /** @type {"right" | "left" | null} */
    this.eye = null;
    this.place = "plan";
    /** @type {Values} */
    this.values = {};
    /** @type {import("../../worker/dicom.js").Read | null} */
    this.read = null;
    /** @type {Step | null} */
    this.step = null;
    this.fault = "";
    this.stopped = false;
    /** What stood there before a way was taken. @type {Map<Way, Values>} */
    this.earlier = new Map();
    /** @type {AbortController | null} */
    this.asking = null;
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    this.forget();
  }

  /** @param {Map<string, unknown>} changed */
  willUpdate(changed) {
    if (changed.has("eye") && changed.get("eye")) this.forget();
  }

  /** Candidates of one eye never stand on another's screen. */
  forget() {
    this.asking?.abort();
    this.earlier = new Map();
    Object.assign(this, { read: null, step: null, fault: "", stopped: false });
  }

  stop() {
    this.forget();
    this.stopped = true;
  }

  /** @param {Event} event */
  async chosen(event) {
    const input = /** @type {HTMLInputElement} */ (event.target);
    const file = input.files?.[0];
    this.forget();
    if (!file || !this.eye) return;
    const { signal } = (this.asking = new AbortController());
    try {
      const read = await readDicom(file, this.eye, { signal, step: (step) => { if (!signal.aborted) this.step = step; } });
      if (!signal.aborted) this.read = read;
    } catch (reason) {
      if (!signal.aborted) this.fault = String(/** @type {Error} */ (reason).message);
    }
    if (!signal.aborted) this.step = null;
    input.value = "";
  }

  /** @param {Way} way */
  take(way) {
    this.earlier.set(way, Object.fromEntries(way.values.map(({ name }) => [name, this.now(name)])));
    this.tell(Object.fromEntries(way.values.map(({ name, value }) => [name, value])));
  }

  /** @param {Way} way */
  putBack(way) {
    this.tell(this.earlier.get(way) ?? {});
    this.earlier.delete(way);
  }

  /** @param {Values} values */
  tell(values) {
    this.dispatchEvent(new CustomEvent("taken", { detail: { values } }));
  }

  /** @param {string} name @returns {any} */
  now(name) {
    return this.values[name] ?? null;
  }

  render() {
    return html`<details><summary>${t.dicom.bringFile}</summary><div class="stack">
      <p class="soft">${HOLDS[this.place]} ${t.dicom.eachWaits}</p>
      ${this.eye ? this.renderChoice() : html`<p>${t.dicom.eyeFirst}</p>`}
      ${this.step ? this.renderStep(this.step) : nothing}
      ${this.stopped ? html`<p role="status">${t.dicom.stopped}</p>` : nothing}
      ${this.fault ? html`<gl-banner kind="stop" heading=${t.dicom.notUsed}><p>${inMark(this.fault)}</p></gl-banner>` : nothing}
      ${this.read && this.eye ? this.renderRead(this.read, SIDES[this.eye]) : nothing}</div></details>`;
  }

  renderChoice() {
    return html`<label class="button file">${this.read ? t.dicom.chooseAnother : t.dicom.choose}
      <input type="file" ?disabled=${this.step !== null} @change=${this.chosen}></label>`;
  }

  /** @param {Step} step */
  renderStep(step) {
    const steps = Object.keys(STEPS);
    return html`<div class="reading"><p role="status">${STEPS[step]}</p>
      <progress aria-label=${t.dicom.progress} max=${steps.length} .value=${steps.indexOf(step) + 1}></progress>
      <button type="button" @click=${this.stop}>${t.dicom.stop}</button></div>`;
  }

  /** @param {import("../../worker/dicom.js").Read} read @param {string} side */
  renderRead({ kind, places, candidates, kept_back }, side) {
    const here = places.includes(this.place);
    return html`<p role="status"><b>${t.dicom.found(`${kind[0].toUpperCase()}${kind.slice(1)}`, side)}</b>
        ${here ? t.dicom.values(candidates.length) : nothing}</p>
      ${kept_back ? html`<gl-banner kind="info" heading=${t.dicom.bothEyes}><p>${t.dicom.onlyThis(side, SIDES[kept_back])}</p></gl-banner>` : nothing}
      ${here ? html`<ul>${candidates.map((one) => this.renderCandidate(one))}</ul>` : html`<gl-banner kind="info"><p>${ELSEWHERE[places[0]]}</p></gl-banner>`}
      <button type="button" class="quiet" @click=${this.forget}>${t.dicom.close}</button>`;
  }

  /** @param {Candidate} one */
  renderCandidate(one) {
    return html`<li class=${one.refused ? "refused" : ""} data-candidate=${one.field}>
      <h4><span>${t.dicom.candidate(one.label, SIDES[one.side])}</span> <b>${anyText(one.value, one.field)}</b></h4>
      <p class="soft small">${inMark(one.about.join(" "))}</p>
      ${one.refused ? html`<p>${rich(t.dicom.notOffered(inMark(one.refused)), { b: (words) => html`<b>${words}</b>` })}</p>`
        : this.fitting(one.ways).map((way) => this.renderWay(way))}</li>`;
  }

  /** Powers and radii are never mixed: once a unit is chosen, only that way is left. @param {Way[]} ways */
  fitting(ways) {
    const unit = this.now("k_unit");
    return ways.filter(({ values }) => values.every(({ name, value }) => name !== "k_unit" || unit === null || unit === value));
  }

  /** @param {Way} way */
  renderWay(way) {
    if (way.values.every(({ name, value }) => this.now(name) === value)) return this.renderSame(way);
    const conflict = way.values.some(({ name, value }) => this.now(name) !== null && this.now(name) !== value);
    return html`<div class="way">${conflict ? this.renderConflict(way) : nothing}
      <button type="button" @click=${() => this.take(way)}>${conflict ? t.dicom.inPlace(way.words) : way.words}</button></div>`;
  }

  /** @param {Way} way */
  renderSame(way) {
    return this.earlier.has(way)
      ? html`<div class="same"><span role="status">${t.dicom.taken}</span><button type="button" class="quiet" @click=${() => this.putBack(way)}>${t.dicom.putBack}</button></div>`
      : html`<p class="same">${t.dicom.same}</p>`;
  }

  /** Both values of each quantity in one line under its name. @param {Way} way */
  renderConflict(way) {
    const rows = way.values.filter(({ name, value }) => value !== null || this.now(name) !== null);
    return html`<table><thead><tr><th scope="col">${t.dicom.entered}</th><th scope="col">${t.dicom.inFile}</th></tr></thead>${rows.map(({ name, field, label, value }) => html`
      <tbody><tr><th colspan="2" scope="rowgroup">${label}</th></tr>
      <tr class=${this.now(name) === value ? "" : "differs"}><td>${said(this.now(name), field, t.dicom.nothing)}</td><td>${said(value, field, t.dicom.notStated)}</td></tr></tbody>`)}</table>`;
  }
}

/** A value as every screen shows it. @param {any} value @param {string} field @param {string} none */
function said(value, field, none) {
  return value === null ? none : anyText(value, field);
}

customElements.define("gl-dicom-card", DicomCard);
