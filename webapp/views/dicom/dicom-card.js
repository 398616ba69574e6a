import { LitElement, css, html, nothing } from "lit";
import { anyText } from "../../elements/format.js";
import { buttons, shared } from "../../elements/shared-style.js";
import { readDicom } from "../../worker/dicom.js";

/** @typedef {import("../../worker/dicom.js").Candidate} Candidate */
/** @typedef {import("../../worker/dicom.js").Way} Way */

/** @type {Record<string, string>} */
const ELSEWHERE = { measurements: "It belongs to the plan: bring the file in there.", new_visit: "It belongs to a visit: bring the file in on Follow-up." };

/**
 * A DICOM file's measurements as candidates beside what is entered. `place`: "measurements" or
 * "new_visit"; `values`: what is entered there, by name. Fires `taken` {values} for one accepted way.
 */
export class DicomCard extends LitElement {
  static properties = {
    eye: { type: String },
    place: { type: String },
    values: { attribute: false },
    read: { state: true },
    file: { state: true },
    busy: { state: true },
    fault: { state: true },
    taken: { state: true },
  };

  static styles = [shared, buttons, css`
    :host { display: block; }
    summary { min-height: 44px; display: flex; align-items: center; font-weight: 600; color: var(--accent); cursor: pointer; }
    summary::before { content: "▸"; margin-right: var(--gap-2); }
    details[open] > summary::before { content: "▾"; }
    summary::-webkit-details-marker { display: none; }
    .stack, ul, li { display: grid; gap: var(--gap-2); }
    ul { padding: 0; list-style: none; }
    li { padding: var(--gap-3); border: 1px solid var(--rule); border-left: 6px solid var(--accent); border-radius: var(--round); }
    li.refused { border-left: 6px dotted var(--edge); }
    .file { position: relative; overflow: hidden; }
    .file input { position: absolute; inset: 0; opacity: 0; font-size: 2rem; cursor: pointer; }
    .file:focus-within { outline: 3px solid var(--accent); outline-offset: 2px; }
    b.value { font-size: var(--text-large); }
    table { width: 100%; border-collapse: collapse; }
    th, td { text-align: left; padding: var(--gap-1) var(--gap-2) var(--gap-1) 0; vertical-align: top; }
    th { font-weight: 600; color: var(--ink-soft); }
    .differs td { font-weight: 700; }
    .way { display: grid; gap: var(--gap-1); padding-top: var(--gap-2); border-top: 1px solid var(--rule); }
  `];

  constructor() {
    super();
    /** @type {"right" | "left" | null} */
    this.eye = null;
    this.place = "measurements";
    /** @type {Record<string, any>} */
    this.values = {};
    /** @type {import("../../worker/dicom.js").Read | null} */
    this.read = null;
    /** @type {File | null} */
    this.file = null;
    this.busy = false;
    this.fault = "";
    /** @type {Set<Way>} */
    this.taken = new Set();
    /** @type {AbortController | null} */
    this.asking = null;
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    this.asking?.abort();
  }

  /** @param {Map<string, unknown>} changed */
  willUpdate(changed) {
    if (changed.has("eye") && changed.get("eye")) this.forget();
  }

  /** Candidates of one eye never stand on another's screen. */
  forget() {
    this.asking?.abort();
    Object.assign(this, { read: null, file: null, busy: false, fault: "", taken: new Set() });
  }

  /** @param {Event} event */
  async chosen(event) {
    const input = /** @type {HTMLInputElement} */ (event.target);
    const file = input.files?.[0] ?? null;
    input.value = "";
    this.forget();
    if (!file || !this.eye) return;
    this.file = file;
    const { signal } = (this.asking = new AbortController());
    this.busy = true;
    try {
      const entered = Object.fromEntries(Object.entries(this.values).map(([name, value]) => [`${this.place}.${name}`, value]));
      const read = await readDicom(file, this.eye, entered, signal);
      if (!signal.aborted) this.read = read;
    } catch (reason) {
      if (!signal.aborted) this.fault = String(/** @type {Error} */ (reason).message);
    }
    if (!signal.aborted) this.busy = false;
  }

  /** @param {Way} way */
  take(way) {
    this.taken = new Set([...this.taken, way]);
    const values = Object.fromEntries(way.values.map(({ path, value }) => [path.slice(this.place.length + 1), value]));
    this.dispatchEvent(new CustomEvent("taken", { detail: { values } }));
  }

  render() {
    return html`<details><summary>Bring in a DICOM file</summary><div class="stack">
      <p class="soft small">Keratometry, axial measurements, autorefraction, subjective refraction or acuity as exported by an instrument. Each value is yours to take; names and numbers of the patient are not read.</p>
      ${this.eye ? html`<label class="button file">Choose a DICOM file<input type="file" @change=${this.chosen}></label>` : html`<p>Choose the eye first.</p>`}
      ${this.busy ? html`<p role="status">Reading the file… the first one takes a few seconds.</p><button type="button" @click=${this.forget}>Stop</button>` : nothing}
      ${this.fault ? html`<gl-banner kind="stop" heading="The file was not used"><p>${this.fault}</p></gl-banner>` : nothing}
      ${this.read ? this.renderRead(this.read) : nothing}</div></details>`;
  }

  /** @param {import("../../worker/dicom.js").Read} read */
  renderRead({ kind, candidates }) {
    return html`<p role="status"><b>${this.file?.name ?? ""}</b><br>${kind}, ${candidates.length} ${candidates.length === 1 ? "value" : "values"}</p>
      <ul>${candidates.map((one) => this.renderCandidate(one))}</ul>`;
  }

  /** @param {Candidate} one */
  renderCandidate(one) {
    return html`<li class=${one.refused ? "refused" : ""} data-candidate=${`${one.side} ${one.field}`}>
      <span class="soft">${one.side === "right" ? "Right eye" : "Left eye"} · ${one.label}</span>
      <b class="value">${shown(one.field, one.value)}</b>
      ${one.about.map((text) => html`<span class="small">${text}</span>`)}
      ${one.refused ? html`<p><b>Not taken:</b> ${one.refused}</p>` : one.ways.map((way) => this.renderWay(way))}</li>`;
  }

  /** @param {Way} way */
  renderWay(way) {
    const here = way.values.every(({ path }) => path.startsWith(`${this.place}.`));
    if (!here) return html`<p class="soft small">${ELSEWHERE[way.values[0].path.split(".")[0]]}</p>`;
    if (this.taken.has(way)) return html`<p class="way" role="status"><b>Taken.</b> ${way.values.map(({ path, label, value }) => `${label} ${shown(nameOf(path), value)}`).join(", ")}</p>`;
    return html`<div class="way">${way.conflict ? html`<p><b>Something else is entered.</b></p>
      <table><thead><tr><th></th><th>Entered</th><th>In the file</th></tr></thead><tbody>${way.values.map((place) => html`<tr class=${place.differs ? "differs" : ""}>
        <th>${place.label}</th><td>${place.now == null ? "–" : shown(nameOf(place.path), place.now)}</td><td>${shown(nameOf(place.path), place.value)}</td></tr>`)}</tbody></table>` : nothing}
      <button type="button" @click=${() => this.take(way)}>${way.conflict ? `${way.words}, in place of what is entered` : way.words}</button></div>`;
  }
}

/** @param {string} path */
function nameOf(path) {
  return path.split(".").at(-1) ?? path;
}

/** A value as every screen shows it. @param {string} name @param {any} value */
function shown(name, value) {
  return anyText(value, name);
}

customElements.define("gl-dicom-card", DicomCard);
