import { LitElement, css, html, nothing } from "lit";
import { buttons, shared } from "../../elements/shared-style.js";
import { ask, status } from "../../worker/client.js";
import { today } from "../today.js";
import { canShare, fileOf, save, share } from "./hand-over-file.js";

/** @typedef {import("../../store/store.js").Store} Store */
/** @typedef {import("../../store/store.js").Case} Case */
/** @typedef {{filename: string, csv: string, rows: number, columns: string[],
 *   described: {name: string, unit: string, meaning: string}[], smallest_group: number | null,
 *   left_out: {code: string, why: string}[]}} Answer */

/** Chosen eyes as one de-identified file, built before the tap that hands it over. */
export class ExportView extends LitElement {
  static properties = {
    store: { attribute: false },
    eyes: { state: true },
    chosen: { state: true },
    answer: { state: true },
    fault: { state: true },
    told: { state: true },
  };

  static styles = [shared, buttons, css`
    :host { display: grid; gap: var(--gap-4); grid-template-columns: minmax(0, 1fr); }
    ul { display: grid; gap: var(--gap-2); padding: 0; list-style: none; }
    .points { padding-left: 1.2em; list-style: disc; gap: var(--gap-1); }
    .pick { display: flex; align-items: center; gap: var(--gap-3); min-height: var(--touch); padding: var(--gap-2) var(--gap-3);
      border: 1px solid var(--rule); border-radius: var(--round); cursor: pointer; }
    .pick input { width: 24px; height: 24px; flex: none; accent-color: var(--accent); }
    .columns { gap: var(--gap-1); max-height: 20rem; overflow: auto; }
    code { padding: 0.1em 0.45em; border-radius: var(--round-small); background: var(--sunken); font-size: var(--text-small); overflow-wrap: anywhere; }
    .actions { display: grid; gap: var(--gap-2); }
    .row { display: flex; gap: var(--gap-2); flex-wrap: wrap; }
    summary { min-height: 44px; display: flex; align-items: center; font-weight: 600; cursor: pointer; color: var(--accent); }
    summary::before { content: "▸"; margin-right: var(--gap-2); }
    details[open] > summary::before { content: "▾"; }
    summary::-webkit-details-marker { display: none; }
  `];

  constructor() {
    super();
    /** @type {Store | null} */
    this.store = null;
    /** @type {Case[] | null} */
    this.eyes = null;
    /** @type {Set<string>} */
    this.chosen = new Set();
    /** @type {Answer | null} */
    this.answer = null;
    this.fault = "";
    this.told = "";
    /** @type {AbortController | null} */
    this.asking = null;
    this.redraw = () => this.requestUpdate();
  }

  connectedCallback() {
    super.connectedCallback();
    status.addEventListener("change", this.redraw);
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    status.removeEventListener("change", this.redraw);
    this.asking?.abort();
  }

  async firstUpdated() {
    try {
      const eyes = await /** @type {Store} */ (this.store).list();
      this.choose(new Set(eyes.filter((record) => !record.demo).map((record) => record.code)));
      this.eyes = eyes;
    } catch (reason) {
      this.fault = String(/** @type {Error} */ (reason).message);
    }
  }

  /** @param {string} code */
  toggle(code) {
    const chosen = new Set(this.chosen);
    if (!chosen.delete(code)) chosen.add(code);
    this.choose(chosen);
  }

  /** @param {Set<string>} chosen */
  choose(chosen) {
    this.chosen = chosen;
    this.answer = null;
    this.told = "";
    queueMicrotask(() => this.make());
  }

  /** The file is ready before the tap: a share sheet opens only from inside the tap itself. */
  async make() {
    this.asking?.abort();
    this.fault = "";
    const cases = this.eyes?.filter((record) => this.chosen.has(record.code)) ?? [];
    if (!cases.length) return;
    const { signal } = (this.asking = new AbortController());
    try {
      const withDemo = cases.some((record) => record.demo);
      const { value } = await ask("export_csv", { cases, exclude_demo: !withDemo, today: today() }, { signal });
      if (!signal.aborted) this.answer = value;
    } catch (reason) {
      if (!signal.aborted) this.fault = String(/** @type {Error} */ (reason).message);
    }
  }

  async share() {
    if (!this.answer) return;
    const outcome = await share(fileOf(this.answer));
    this.told = outcome === "shared" ? `${this.answer.filename} was handed over.` : "Nothing was handed over: the sheet was closed.";
  }

  saveFile() {
    if (!this.answer) return;
    save(fileOf(this.answer));
    this.told = `${this.answer.filename} is in this device's downloads.`;
  }

  render() {
    if (!this.eyes) return html`<h1>Export</h1><p class="soft" role="status">Reading the eyes…</p>`;
    return html`<h1>Export</h1>${this.renderAbout()}
      <gl-card heading="Eyes in the file">${this.eyes.length ? this.renderPicker() : html`<p class="soft">There are no eyes on this device yet.</p>`}</gl-card>
      ${this.fault ? html`<gl-banner kind="stop" heading="The file could not be made"><p>${this.fault}</p></gl-banner>` : nothing}
      ${this.renderFile()}`;
  }

  renderAbout() {
    return html`<gl-card heading="What leaves the device"><p>One CSV file, only when you hand it over, only with the eyes that you tick. It is de-identified:</p>
      <ul class="points"><li>in it: measurements, plan, readings, decision and outcome of each eye, one row per eye, units in the column names;</li>
      <li>changed: eyes and persons get fresh random codes, dates become days after surgery, ages over 89 become 90;</li>
      <li>not in it: case codes, dates, lens names, notes and any other free text. Names, dates of birth and hospital numbers are never stored at all.</li></ul>
      <p class="soft small">Someone who knows a rare eye may still recognise it, so your local rules for pseudonymous data apply.</p></gl-card>`;
  }

  renderPicker() {
    const eyes = /** @type {Case[]} */ (this.eyes ?? []);
    const real = eyes.filter((record) => !record.demo);
    return html`<div class="row">
      <button type="button" @click=${() => this.choose(new Set(real.map((record) => record.code)))}>All but demo</button>
      <button type="button" @click=${() => this.choose(new Set())}>None</button></div>
      <ul>${eyes.map((record) => html`<li><label class="pick"><input type="checkbox" .checked=${this.chosen.has(record.code)}
        @change=${() => this.toggle(record.code)}><gl-eye .eye=${record.eye ?? null} .code=${record.code} ?demo=${Boolean(record.demo)}></gl-eye></label></li>`)}</ul>`;
  }

  renderFile() {
    if (!this.chosen.size) return html`<p class="soft">Tick at least one eye to make the file.</p>`;
    if (this.fault) return nothing;
    if (!this.answer) return html`<p role="status" class="soft">${status.state === "ready" ? "Making the file…" : status.sentence}</p>`;
    return html`<gl-card heading="The file">${this.renderPreview(this.answer)}${this.renderActions(this.answer)}</gl-card>`;
  }

  /** @param {Answer} answer */
  renderPreview({ filename, rows, described, smallest_group: smallest, left_out: leftOut }) {
    return html`<p><b>${filename}</b><br>${rows} ${rows === 1 ? "eye" : "eyes"}, ${described.length} columns</p>
      ${smallest === null ? nothing : html`<p class="soft">Smallest group that shares sex, decade of age and indication: ${smallest} ${smallest === 1 ? "eye" : "eyes"}.</p>`}
      ${leftOut.length ? html`<gl-banner kind="caution" heading="Left out"><ul>${leftOut.map(({ code, why }) => html`<li>${code}: ${why}</li>`)}</ul></gl-banner>` : nothing}
      <details><summary>Columns and what they mean</summary><ul class="columns" tabindex="0" aria-label="Columns">${described.map((column) =>
        html`<li><code>${column.name}</code> <span class="small">${column.meaning}</span></li>`)}</ul></details>`;
  }

  /** @param {Answer} answer */
  renderActions(answer) {
    if (!answer.rows) return html`<p>Nothing to hand over: every chosen eye is left out.</p>`;
    const sheet = canShare(fileOf(answer));
    return html`<div class="actions">
      ${sheet ? html`<button type="button" class="main" @click=${this.share}>Hand over by the share sheet</button>` : nothing}
      <button type="button" class=${sheet ? "" : "main"} @click=${this.saveFile}>Save to this device</button>
      <p role="status">${this.told}</p></div>`;
  }
}

customElements.define("gl-export-view", ExportView);
