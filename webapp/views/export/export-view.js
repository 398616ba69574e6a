import { LitElement, css, html, nothing } from "lit";
import { buttons, shared } from "../../elements/shared-style.js";
import { status } from "../../worker/client.js";
import { OUTCOME_WORDS, canShare, fileOf, save, share } from "./hand-over-file.js";
import { filesOf, partsOf } from "./series.js";
import { rich } from "../../words/rich.js";
import { t } from "../../words/words.js";

/** @typedef {import("../../store/store.js").Store} Store */
/** @typedef {import("../../store/store.js").Case} Case */
/** @typedef {import("./series.js").Bands} Bands */
/** @typedef {import("./series.js").Made} Made */

/** @type {Bands} */
const START = { age_band_years: 10, year_band_years: 0, with_sex: true, with_indication: true };
/** @type {[string, keyof Bands, [number | boolean, string][]][]} */
const CHOICES = [
  [t.exporting.age, "age_band_years", [[1, t.exporting.years], [5, t.exporting.bandsYears], [10, t.exporting.bandsYears2], [20, t.exporting.bandsYears3], [0, t.exporting.leftOut]]],
  [t.exporting.yearSurgery, "year_band_years", [[0, t.exporting.leftOut], [1, t.exporting.year], [5, t.exporting.bandsYears], [10, t.exporting.bandsYears2]]],
  [t.exporting.sex, "with_sex", [[true, t.exporting.file], [false, t.exporting.leftOut]]],
  [t.exporting.indication, "with_indication", [[true, t.exporting.file], [false, t.exporting.leftOut]]],
];
const VARIANTS = [["point", t.exporting.exchangeCommasDecimalPoints], ["comma", t.exporting.spreadsheetsDecimalCommasSemicolons]];
const MANY = 30;

/** Chosen eyes as de-identified files, built before the tap that hands them over. */
export class ExportView extends LitElement {
  static properties = {
    store: { attribute: false },
    eyes: { state: true },
    chosen: { state: true },
    bands: { state: true },
    variant: { state: true },
    parts: { state: true },
    made: { state: true },
    fault: { state: true },
    told: { state: true },
    done: { state: true },
    stopped: { state: true },
    listed: { state: true },
  };

  static styles = [shared, buttons, css`
    :host { display: grid; gap: var(--gap-4); grid-template-columns: minmax(0, 1fr); }
    ul { display: grid; gap: var(--gap-2); padding: 0; list-style: none; }
    .points { padding-inline-start: 1.2em; list-style: disc; gap: var(--gap-1); }
    .pick { display: flex; align-items: center; gap: var(--gap-3); min-height: var(--touch); padding: var(--gap-2) var(--gap-3);
      border: 1px solid var(--rule); border-radius: var(--round); cursor: pointer; }
    .pick input { width: 24px; height: 24px; flex: none; accent-color: var(--accent); }
    .columns { gap: var(--gap-1); max-height: 20rem; overflow: auto; }
    code { padding: 0.1em 0.45em; border-radius: var(--round-small); background: var(--sunken); font-size: var(--text-small); overflow-wrap: anywhere; }
    .actions, .bands { display: grid; gap: var(--gap-3); }
    .bands label { display: grid; gap: var(--gap-1); font-weight: 600; }
    select { min-height: var(--touch); width: 100%; padding: 0 var(--gap-3); border: 2px solid var(--edge); border-radius: var(--round);
      background: var(--surface); color: var(--ink); font: inherit; }
    progress { width: 100%; height: 12px; accent-color: var(--accent); }
    .row { display: flex; gap: var(--gap-2); flex-wrap: wrap; }
    .coarser button { width: 100%; text-align: start; display: grid; gap: 0; }
    summary { min-height: 44px; display: flex; align-items: center; font-weight: 600; cursor: pointer; color: var(--accent); }
    summary::before { content: "▸"; margin-inline-end: var(--gap-2); }
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
    this.bands = START;
    this.variant = "point";
    /** @type {{parts: unknown[], leftOut: {code: string, why: string}[]} | null} */
    this.parts = null;
    /** @type {Made | null} */
    this.made = null;
    this.fault = "";
    this.told = "";
    /** @type {[number, number] | null} */
    this.done = null;
    this.stopped = false;
    this.listed = false;
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
      this.listed = eyes.length <= MANY;
      this.eyes = eyes;
      this.choose(new Set(eyes.filter((record) => !record.demo).map((record) => record.code)));
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
    this.parts = null;
    queueMicrotask(() => this.make());
  }

  /** The files are ready before the tap: a share sheet opens only from inside the tap itself. */
  async make() {
    this.asking?.abort();
    Object.assign(this, { made: null, fault: "", told: "", stopped: false });
    const cases = this.eyes?.filter((record) => this.chosen.has(record.code)) ?? [];
    if (!cases.length) return;
    const { signal } = (this.asking = new AbortController());
    try {
      this.parts ??= await partsOf(cases, { signal, progress: (done, total) => { if (!signal.aborted) this.done = [done, total]; } });
      const made = await filesOf(this.parts.parts, this.bands, this.variant, signal);
      if (!signal.aborted) this.made = made;
    } catch (reason) {
      if (!signal.aborted) this.fault = String(/** @type {Error} */ (reason).message);
    }
    if (!signal.aborted) this.done = null;
  }

  stop() {
    this.asking?.abort();
    this.done = null;
    this.stopped = true;
  }

  /** @param {Partial<Bands>} change */
  band(change) {
    this.bands = { ...this.bands, ...change };
    this.make();
  }

  /** @param {string} variant */
  vary(variant) {
    this.variant = variant;
    this.make();
  }

  /** @param {File} file */
  async share(file) {
    this.told = OUTCOME_WORDS[await share(file)](file.name);
  }

  /** @param {File} file */
  saveFile(file) {
    save(file);
    this.told = t.exporting.devicesDownloads(file.name);
  }

  render() {
    if (!this.eyes) return html`<h1>${t.exporting.export}</h1><p class="soft" role="status">${t.exporting.readingEyes}</p>`;
    return html`<h1>${t.exporting.export}</h1>
      <p>${rich(t.exporting.eyesComeFromFiles, { a: (words) => html`<a href="#/import">${words}</a>` })}</p>${this.renderAbout()}
      <gl-card heading=${t.exporting.eyesFile}>${this.eyes.length ? this.renderPicker() : html`<p class="soft">${t.exporting.thereNoEyesDevice}</p>`}</gl-card>
      ${this.chosen.size ? this.renderBands() : nothing}
      ${this.fault ? html`<gl-banner kind="stop" heading=${t.exporting.fileCouldNotMade}><p>${this.fault}</p></gl-banner>` : nothing}
      ${this.renderFile()}`;
  }

  renderAbout() {
    return html`<gl-card heading=${t.exporting.whatLeavesDevice}><p>${t.exporting.tablesEyesReadingsVisits}</p>
      <ul class="points"><li>${t.exporting.themMeasurementsPlanReadings}</li>
      <li>${t.exporting.changedEyesPersonsGet}</li>
      <li>${t.exporting.notThemCaseCodes}</li></ul>
      <p class="soft small">${t.exporting.someoneWhoKnowsRare}</p></gl-card>`;
  }

  renderPicker() {
    const eyes = /** @type {Case[]} */ (this.eyes ?? []);
    const real = eyes.filter((record) => !record.demo);
    return html`<div class="row">
      <button type="button" @click=${() => this.choose(new Set(real.map((record) => record.code)))}>${t.exporting.allButDemo}</button>
      <button type="button" @click=${() => this.choose(new Set())}>${t.exporting.none}</button></div>
      <p class="soft">${t.exporting.ticked(this.chosen.size, eyes.length)}</p>
      ${this.listed ? html`<ul>${eyes.map((record) => this.renderPick(record))}</ul>`
        : html`<button type="button" @click=${() => { this.listed = true; }}>${t.exporting.showAllEyes(eyes.length)}</button>`}`;
  }

  /** @param {Case} record */
  renderPick(record) {
    return html`<li><label class="pick"><input type="checkbox" .checked=${this.chosen.has(record.code)}
      @change=${() => this.toggle(record.code)}><gl-eye .eye=${record.eye ?? null} .code=${record.code}
      ?demo=${Boolean(record.demo)} ?imported=${Boolean(record.imported)}></gl-eye></label></li>`;
  }

  renderBands() {
    return html`<gl-card heading=${t.exporting.howFine}><div class="bands">
      ${CHOICES.map(([word, key, options]) => html`<label>${word}<select data-band=${key}
        @change=${(/** @type {Event} */ event) => this.band({ [key]: options[/** @type {HTMLSelectElement} */ (event.target).selectedIndex][0] })}>
        ${options.map(([value, text]) => html`<option ?selected=${this.bands[key] === value}>${text}</option>`)}</select></label>`)}
      <label>${t.exporting.written}<select data-band="variant" @change=${(/** @type {Event} */ event) => this.vary(VARIANTS[/** @type {HTMLSelectElement} */ (event.target).selectedIndex][0])}>
        ${VARIANTS.map(([value, text]) => html`<option ?selected=${this.variant === value}>${text}</option>`)}</select></label></div></gl-card>`;
  }

  renderFile() {
    if (!this.chosen.size) return html`<p class="soft">${t.exporting.tickLeastOneEye}</p>`;
    if (this.fault) return nothing;
    if (this.made) return html`${this.renderGroups(this.made)}<gl-card heading=${t.exporting.files}>${this.renderPreview(this.made)}${this.renderActions(this.made)}</gl-card>`;
    if (this.stopped) return html`<p role="status">${t.exporting.stoppedNothingWasMade}</p><button type="button" @click=${this.make}>${t.exporting.makeFiles}</button>`;
    return html`<div class="actions"><p role="status" class="soft">${status.state === "ready" ? t.exporting.makingFiles : status.sentence}</p>
      ${this.done ? html`<progress aria-label=${t.exporting.eyesRead} max=${this.done[1]} value=${this.done[0]}></progress>` : nothing}
      <button type="button" @click=${this.stop}>${t.exporting.stop}</button></div>`;
  }

  /** @param {Made} made */
  renderGroups({ groups }) {
    if (groups.smallest === null) return nothing;
    if (!groups.in_small) {
      return html`<gl-banner kind="done" heading=${t.exporting.smallestGroup(persons(groups.smallest))}><p>${t.exporting.leastSoManyShare}</p></gl-banner>`;
    }
    return html`<gl-banner kind="caution" heading=${t.exporting.smallestGroup(persons(groups.smallest))}>
      <p>${t.exporting.groupsFewerThanShare(persons(groups.in_small), groups.in_small, groups.small_means_under)}</p>
      <ul class="coarser">${groups.coarser.map((one) => html`<li><button type="button" data-coarser @click=${() => this.band(one.bands)}><b>${one.words}</b>
        <span>${t.exporting.smallestGroupSmallGroups(persons(one.smallest ?? 0), one.in_small)}</span></button></li>`)}</ul></gl-banner>`;
  }

  /** @param {Made} made */
  renderPreview({ archive, rows, lines, described }) {
    const leftOut = this.parts?.leftOut ?? [];
    return html`<p><b>${archive.name}</b><br>${t.exporting.eyesReadingsVisitsCodebook(rows, lines.readings, lines.visits)}</p>
      ${leftOut.length ? html`<gl-banner kind="caution" heading=${t.exporting.leftOut}><ul>${leftOut.map(({ code, why }) => html`<li>${code}: ${why}</li>`)}</ul></gl-banner>` : nothing}
      <details><summary>${t.exporting.columnsWhatTheyMean}</summary><ul class="columns" tabindex="0" aria-label=${t.exporting.columns}>${described.map((column) =>
        html`<li><code>${column.name}</code> <span class="small">${column.meaning}</span></li>`)}</ul></details>`;
  }

  /** @param {Made} made */
  renderActions(made) {
    if (!made.rows) return html`<p>${t.exporting.nothingHandOverEvery}</p>`;
    const whole = fileOf(made.archive);
    return html`<div class="actions">${this.renderHandOver(whole, t.exporting.allOneArchive, "main")}
      <p role="status">${this.told}</p>
      <details><summary>${t.exporting.singleFiles}</summary><ul>${made.files.map((one) => html`<li>${this.renderHandOver(fileOf(one), one.name.replace(/^guyline-X-\w+-/, ""), "")}</li>`)}</ul></details></div>`;
  }

  /** @param {File} file @param {string} word @param {string} weight */
  renderHandOver(file, word, weight) {
    const sheet = canShare(file);
    return html`<div class="actions">${sheet ? html`<button type="button" class=${weight} @click=${() => this.share(file)}>${t.exporting.handOver(word)}</button>` : nothing}
      <button type="button" class=${sheet ? "" : weight} @click=${() => this.saveFile(file)}>${t.exporting.save(word)}</button></div>`;
  }
}

/** @param {number} count */
function persons(count) {
  return t.exporting.persons(count);
}

customElements.define("gl-export-view", ExportView);
