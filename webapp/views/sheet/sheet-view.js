/** One page of paper for theatre: what was planned, what is read back, and a grid for the cut. */
import { LitElement, html, nothing } from "lit";
import "../../elements/all.js";
import { when } from "../../elements/format.js";
import { LiveAnswer } from "../stage/live-answer.js";
import { withState } from "../stage/status.js";
import { stageStyles } from "../stage/styles.js";
import { eyeAddress } from "../router.js";
import { sheetStyles } from "./sheet-styles.js";
import { rich } from "../../words/rich.js";
import { t } from "../../words/words.js";

/**
 * @typedef {{label: string, value: string}} Line
 * @typedef {{status: string, text: string}} Cell
 * @typedef {{instrument: string, columns: string[], rows: Array<{reading: string, cells: Cell[]}>, how: string[], lever: string}} Grid
 */

export class SheetView extends LitElement {
  static properties = {
    case: { attribute: false },
    instrument: { state: true },
  };

  static styles = [...stageStyles, sheetStyles];

  constructor() {
    super();
    /** @type {Record<string, any> | null} */
    this.case = null;
    this.instrument = "aberrometer";
    this.sheet = new LiveAnswer(this, "sheet_case");
  }

  /** @param {Map<string, unknown>} changed */
  willUpdate(changed) {
    if (!this.case || !(changed.has("case") || changed.has("instrument"))) return;
    this.sheet.follow({ case: this.case, instrument: this.instrument });
  }

  render() {
    if (!this.case) return nothing;
    return html`<div class="stack">
      <div class="controls">
        <h1>${t.sheet.sheetTheatre}</h1>
        <p>${t.sheet.servesWhenPhoneCannot}</p>
        <gl-choice local field="instrument" path="sheet.instrument" .value=${this.instrument}
          @commit=${(/** @type {CustomEvent} */ event) => { this.instrument = event.detail.value; }}></gl-choice>
        <button type="button" class="main wide" ?disabled=${!this.sheet.value?.ready || this.sheet.stale}
          @click=${() => window.print()}>${t.sheet.printSaveAsPdf}</button>
      </div>
      ${withState(this.sheet, () => this.page())}
    </div>`;
  }

  page() {
    const { ready, missing } = this.sheet.value;
    const { code, eye, demo } = /** @type {Record<string, any>} */ (this.case);
    if (!ready) {
      return html`<gl-banner kind="caution" heading=${t.sheet.planNotComplete}>
        <ul>${missing.map((/** @type {{message: string}} */ item) => html`<li>${item.message}</li>`)}</ul>
        <p><a href=${eyeAddress(code, "plan")}>${t.sheet.backPlan}</a></p></gl-banner>`;
    }
    return html`<article aria-label=${t.sheet.sheetEye}>
      <div class="top">
        <div class="eye"><strong>${eye === "right" ? t.sheet.rightEye : t.sheet.leftEye}</strong><span class="code">${code}</span>
          ${demo ? html`<span>${t.sheet.demoInventedNotPatient}</span>` : nothing}</div>
        <div class="label">${t.sheet.patientLabel}</div>
      </div>
      <div class="columns">${this.sheet.value.sections.map(section)}</div>
      ${this.readBack()} ${this.cautions()} ${gridOf(this.sheet.value.grid)} ${this.foot()}
    </article>`;
  }

  readBack() {
    return html`<section class="read"><h2>${t.sheet.readBackAloudFrom}</h2>
      <ul>${this.sheet.value.readback.map((/** @type {Line} */ line) => html`<li><span>${line.label}</span><strong>${line.value}</strong></li>`)}</ul>
      <p class="sign">${t.sheet.read} <i></i> ${t.sheet.confirmed} <i></i> ${t.sheet.time} <i></i></p></section>`;
  }

  cautions() {
    const found = /** @type {string[]} */ (this.sheet.value.cautions);
    return found.length ? html`<section><h2>${t.sheet.cautions}</h2><ul class="plain">${found.map((text) => html`<li>${text}</li>`)}</ul></section>` : nothing;
  }

  foot() {
    const { core_version: core, build_id: build } = /** @type {Record<string, string>} */ (this.sheet.provenance);
    return html`<p class="foot">${t.sheet.madeGuylineSupportsLicensed(when(new Date().toISOString()), core, build ? ` (${build})` : "")}</p>`;
  }
}

/** @param {{heading: string, lines: Line[]}} part */
function section(part) {
  return html`<section><h2>${part.heading}</h2><dl>${part.lines.map((line) => html`<div><dt>${line.label}</dt><dd>${line.value}</dd></div>`)}</dl></section>`;
}

/** @param {Grid} grid */
function gridOf(grid) {
  return html`<section class="grid"><h2>${t.sheet.howMuchCutFrom}</h2>
    <p>${rich(t.sheet.bothReadingsDownSide(grid.instrument.toLowerCase(), grid.lever), { strong: (words) => html`<strong>${words}</strong>` })}</p>
    <div class="scroll" tabindex="0" role="region" aria-label=${t.sheet.gridTwoReadingsCut}><table>
      <thead><tr><th scope="col">${t.sheet.out}</th>${grid.columns.map((text) => html`<th scope="col">${bare(text)}</th>`)}</tr></thead>
      <tbody>${grid.rows.map((row) => html`<tr><th scope="row">${bare(row.reading)}</th>
        ${row.cells.map((cell) => html`<td class=${cell.status}>${cell.text}</td>`)}</tr>`)}</tbody></table></div>
    <ol class="how">${grid.how.map((text) => html`<li>${text}</li>`)}</ol></section>`;
}

/** A table of dioptres needs its unit once. @param {string} text */
function bare(text) {
  return text.replace(/ D$/, "");
}

customElements.define("gl-sheet-view", SheetView);
