import { LitElement, html, nothing } from "lit";
import { buttons, shared } from "../../elements/shared-style.js";
import { status } from "../../worker/client.js";
import { knownPrints, look, readArchive, readTable } from "./series.js";
import { importStyles } from "./import-styles.js";
import { rich } from "../../words/rich.js";
import { t } from "../../words/words.js";

/** @typedef {import("../../store/store.js").Store} Store */
/** @typedef {import("./series.js").Table} Table */
/** @typedef {import("./series.js").Target} Target */
/** @typedef {import("./series.js").Read} Read */

const REMEMBERED = "import-matching";
/** What a table often leaves unsaid because it is the same for every line. */
const FOR_EVERY_LINE = ["axial_method", "keratometry_method", "cornea", "outcome_refraction_method"];
/** @type {Record<string, string>} */
const DATE_ORDERS = { ymd: t.importing.yearFirst, dmy: t.importing.dayFirst, mdy: t.importing.monthFirst };
const SHOWN = 100;

/** A past series from a table or an own archive: matched, checked line by line, and only then stored. */
export class ImportView extends LitElement {
  static properties = {
    store: { attribute: false },
    file: { state: true },
    table: { state: true },
    matching: { state: true },
    read: { state: true },
    busy: { state: true },
    done: { state: true },
    fault: { state: true },
    added: { state: true },
  };

  static styles = [shared, buttons, importStyles];

  constructor() {
    super();
    /** @type {Store | null} */
    this.store = null;
    /** @type {File | null} */
    this.file = null;
    /** @type {Table | null} */
    this.table = null;
    /** @type {import("./series.js").Matching} */
    this.matching = { columns: [], fixed: {}, decimal_mark: ".", date_order: null };
    /** @type {Read | null} */
    this.read = null;
    this.busy = "";
    /** @type {[number, number]} */
    this.done = [0, 1];
    this.fault = "";
    this.added = "";
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

  /** One long piece of work with its progress; a stop leaves everything as it was.
   * @param {string} words @param {(signal: AbortSignal) => Promise<void>} work */
  async during(words, work) {
    this.asking?.abort();
    const { signal } = (this.asking = new AbortController());
    Object.assign(this, { busy: words, done: [0, 1], fault: "", added: "" });
    try {
      await work(signal);
    } catch (reason) {
      if (!signal.aborted) this.fault = String(/** @type {Error} */ (reason).message);
    }
    if (!signal.aborted) this.busy = "";
  }

  stop() {
    this.asking?.abort();
    this.busy = "";
  }

  /** @param {Event} event */
  chosen(event) {
    const input = /** @type {HTMLInputElement} */ (event.target);
    const file = input.files?.[0] ?? null;
    Object.assign(this, { file, table: null, read: null, fault: "", added: "" });
    input.value = "";
    if (file) this.during(t.importing.lookingFile, (signal) => this.look(file, signal));
  }

  /** @param {File} file @param {AbortSignal} signal */
  async look(file, signal) {
    const seen = await look(file, signal);
    if (seen.kind === "archive") {
      await this.readAll(signal, (known, watched) => readArchive(file, known, watched));
      return;
    }
    const remembered = (await this.store?.preference(REMEMBERED)) ?? { columns: {}, fixed: {} };
    const columns = seen.columns.map(({ name, suggested }) => (name in remembered.columns ? remembered.columns[name] : suggested));
    this.matching = { columns: once(columns), fixed: remembered.fixed, decimal_mark: seen.decimal_mark, date_order: seen.date_order };
    this.table = seen;
  }

  check() {
    const { file, table } = this;
    if (!file || !table) return;
    this.during(t.importing.readingLines, async (signal) => {
      await this.remember(table);
      const fixed = Object.fromEntries(Object.entries(this.matching.fixed).filter(([name, value]) => value && !this.matching.columns.includes(name)));
      await this.readAll(signal, (known, watched) => readTable(file, table, { ...this.matching, fixed }, known, watched));
    });
  }

  /** @param {Table} table */
  async remember({ columns }) {
    const before = (await this.store?.preference(REMEMBERED))?.columns ?? {};
    const now = Object.fromEntries(columns.map(({ name }, place) => [name, this.matching.columns[place]]));
    await this.store?.preference(REMEMBERED, { columns: { ...before, ...now }, fixed: this.matching.fixed });
  }

  /** @param {AbortSignal} signal @param {(known: string[], watched: import("./series.js").Watched) => Promise<Read>} reading */
  async readAll(signal, reading) {
    const here = await /** @type {Store} */ (this.store).list();
    const known = await knownPrints(here, signal);
    const read = await reading(known, { signal, progress: (done, total) => { if (!signal.aborted) this.done = [done, total]; } });
    if (!signal.aborted) this.read = read;
  }

  add() {
    const cases = this.read?.cases ?? [];
    this.during(t.importing.storingEyes, async (signal) => {
      let stored = 0;
      try {
        for (const record of cases) {
          if (signal.aborted) break;
          await this.store?.create(record);
          this.done = [++stored, cases.length];
        }
      } finally {
        this.read = null;
        this.table = null;
        this.added = t.importing.eyesWereAdded(stored, cases.length, stored < cases.length ? t.importing.bringSameFileAgain : "");
      }
    });
  }

  render() {
    return html`<h1>${t.importing.bringPastSeries}</h1>
      <gl-card heading=${t.importing.file}><p>${t.importing.tableOneLinePer}</p>
        <ul class="points"><li>${t.importing.youMatchColumnsColumns}</li>
        <li>${t.importing.namesHospitalNumbersFree}</li><li>${t.importing.nothingStoredBeforeYou}</li></ul>
        <label class="button main file">${t.importing.chooseFile}<input type="file" accept=".csv,.txt,.tsv,.zip" @change=${this.chosen} ?disabled=${status.state !== "ready"}></label>
        <p class="soft">${status.state === "ready" ? (this.file?.name ?? "") : status.sentence}</p></gl-card>
      ${this.busy ? this.renderBusy() : nothing}
      ${this.fault ? html`<gl-banner kind="stop" heading=${t.importing.fileWasNotRead}><p>${this.fault}</p><p>${t.importing.nothingWasStored}</p></gl-banner>` : nothing}
      ${this.added ? html`<gl-banner kind="done" heading=${t.importing.done}><p>${t.importing.theyMarkedAsImported(this.added)}</p><p><a href="#/eyes">${t.importing.eyes}</a></p></gl-banner>` : nothing}
      ${this.busy ? nothing : html`${this.read ? this.renderRead(this.read) : nothing}${this.table && !this.read ? this.renderMatching(this.table) : nothing}`}`;
  }

  renderBusy() {
    return html`<div class="stack"><p role="status">${this.busy}</p>
      <progress aria-label=${this.busy} max=${this.done[1]} value=${this.done[0]}></progress>
      <button type="button" @click=${this.stop}>${t.importing.stop}</button></div>`;
  }

  /** @param {Table} table */
  renderMatching(table) {
    const dated = this.matching.columns.some((name) => table.targets.find((one) => one.name === name)?.kind === "date");
    const eye = this.matching.columns.includes("eye");
    return html`<gl-card heading=${t.importing.columns}><p class="soft">${t.importing.aboutLinesWhatEach(table.rows_about)}</p>
      <div class="stack">${table.columns.map((column, place) => this.renderColumn(table, column, place))}</div></gl-card>
      <gl-card heading=${t.importing.howWritten}><div class="stack">
        <label>${t.importing.decimals}<select data-mark @change=${(/** @type {Event} */ event) => this.agree({ decimal_mark: valueOf(event) })}>
          ${[[".", "Point: 23.51"], [",", "Comma: 23,51"]].map(([mark, word]) => html`<option value=${mark} ?selected=${this.matching.decimal_mark === mark}>${word}</option>`)}</select></label>
        ${dated ? html`<label>${t.importing.dates}<select data-dates @change=${(/** @type {Event} */ event) => this.agree({ date_order: valueOf(event) || null })}>
          <option value="" ?selected=${!this.matching.date_order}>${t.importing.choose}</option>
          ${Object.entries(DATE_ORDERS).map(([order, word]) => html`<option value=${order} ?selected=${this.matching.date_order === order}>${word}</option>`)}</select></label>` : nothing}
      </div></gl-card>${this.renderFixed(table)}
      ${eye ? nothing : html`<gl-banner kind="caution" heading=${t.importing.whichColumnSaysRight}><p>${t.importing.eyeNeverAssumedMatch}</p></gl-banner>`}
      <button type="button" class="main" ?disabled=${!eye || (dated && !this.matching.date_order)} @click=${this.check}>${t.importing.checkLines}</button>
      <p class="soft small">${t.importing.yourChoicesRememberedColumns}</p>`;
  }

  /** @param {Table} table @param {import("./series.js").Column} column @param {number} place */
  renderColumn(table, column, place) {
    const now = this.matching.columns[place];
    return html`<label class="column ${now ? "matched" : ""}"><b dir="auto">${column.name}</b>
      <span class="soft small" dir="auto">${column.sample.filter(Boolean).slice(0, 3).join(" · ") || t.importing.empty}</span>
      <select data-column=${column.name} @change=${(/** @type {Event} */ event) => this.match(place, valueOf(event) || null)}>
        <option value="" ?selected=${!now}>${t.importing.leaveAlone}</option>${groupsOf(table.targets).map(([group, targets]) => html`<optgroup label=${group}>
        ${targets.map((one) => html`<option value=${one.name} ?selected=${now === one.name}>${one.label}${one.unit ? `, ${one.unit}` : ""}</option>`)}</optgroup>`)}</select></label>`;
  }

  /** @param {Table} table */
  renderFixed(table) {
    const open = FOR_EVERY_LINE.filter((name) => !this.matching.columns.includes(name));
    if (!open.length) return nothing;
    return html`<gl-card heading=${t.importing.sameEveryLine}><p class="soft">${t.importing.onlyIfTrueAll}</p>
      <div class="stack">${open.map((name) => {
        const target = table.targets.find((one) => one.name === name);
        return target ? html`<label>${target.label}<select data-fixed=${name} @change=${(/** @type {Event} */ event) =>
          this.agree({ fixed: { ...this.matching.fixed, [name]: valueOf(event) } })}><option value="" ?selected=${!this.matching.fixed[name]}>${t.importing.notStated}</option>
          ${Object.entries(target.choices).map(([word, label]) => html`<option value=${word} ?selected=${this.matching.fixed[name] === word}>${label}</option>`)}</select></label>` : nothing;
      })}</div></gl-card>`;
  }

  /** @param {Partial<import("./series.js").Matching>} change */
  agree(change) {
    this.matching = { ...this.matching, ...change };
  }

  /** A target belongs to one column: chosen again, it moves. @param {number} place @param {string | null} name */
  match(place, name) {
    this.agree({ columns: this.matching.columns.map((other, at) => (at === place ? name : other === name ? null : other)) });
  }

  /** @param {Read} read */
  renderRead({ cases, rejected }) {
    return html`<gl-card heading=${t.importing.whatWouldStored}><p>${rich(t.importing.eyesMarkedAsImported(cases.length), { b: (words) => html`<b>${words}</b>` })}</p>
      ${cases.length ? html`<ul class="preview">${cases.slice(0, 3).map((record) => renderPreview(record))}</ul>
        ${cases.length > 3 ? html`<p class="soft small">${t.importing.more(cases.length - 3)}</p>` : nothing}
        <button type="button" class="main" @click=${this.add}>${t.importing.addEyes(cases.length)}</button>` : nothing}
      <button type="button" @click=${() => { this.read = null; }}>${this.table ? t.importing.backColumns : t.importing.leave}</button></gl-card>
      ${rejected.length ? html`<gl-card heading=${t.importing.linesNotTaken}><p class="soft">${t.importing.of(rejected.length, rejected.length + cases.length)}</p>
        <ol class="rejected" tabindex="0" aria-label=${t.importing.linesNotTaken}>${rejected.slice(0, SHOWN).map(({ row, why }) => html`<li><b>${t.importing.line(row)}</b> <span dir="auto">${why}</span></li>`)}</ol>
        ${rejected.length > SHOWN ? html`<button type="button" @click=${() => this.saveRejected(rejected)}>${t.importing.saveAllReasonsAs}</button>` : nothing}</gl-card>` : nothing}`;
  }

  /** @param {Read["rejected"]} rejected */
  async saveRejected(rejected) {
    const { fileOf, save } = await import("../export/hand-over-file.js");
    save(fileOf({ name: "lines-not-taken.txt", media_type: "text/plain", text: rejected.map(({ row, why }) => t.importing.lineN(row, why)).join("") }));
  }
}

/** The first values of an eye as they would be stored. @param {import("../../store/store.js").Case} record */
function renderPreview(record) {
  const { axial_length_mm: length, k1_d, k2_d, r1_mm, r2_mm } = record.measurements;
  const cornea = k1_d == null && k2_d == null ? `R ${r1_mm ?? "?"} / ${r2_mm ?? "?"} mm` : `K ${k1_d ?? "?"} / ${k2_d ?? "?"} D`;
  const visit = record.follow_ups[0];
  return html`<li><gl-eye .eye=${record.eye ?? null} .code=${record.code} imported></gl-eye>
    <span>${t.importing.axialLengthMmLens(length ?? "?", cornea, record.lens.lens_power_d ?? "?", visit ? t.importing.result : t.importing.noResult)}</span></li>`;
}

/** @param {(string | null)[]} names */
function once(names) {
  return names.map((name, place) => (name && names.indexOf(name) === place ? name : null));
}

/** @param {Event} event */
function valueOf(event) {
  return /** @type {HTMLSelectElement} */ (event.target).value;
}

/** @param {Target[]} targets @returns {[string, Target[]][]} */
function groupsOf(targets) {
  return [...new Set(targets.map((one) => one.group))].map((group) => [group, targets.filter((one) => one.group === group)]);
}

customElements.define("gl-import-view", ImportView);
