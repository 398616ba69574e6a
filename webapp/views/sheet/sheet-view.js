/** One page of paper for theatre: what was planned, what is read back, and a grid for the cut. */
import { LitElement, html, nothing } from "lit";
import "../../elements/all.js";
import { when } from "../../elements/format.js";
import { LiveAnswer } from "../stage/live-answer.js";
import { withState } from "../stage/status.js";
import { stageStyles } from "../stage/styles.js";
import { eyeAddress } from "../router.js";
import { sheetStyles } from "./sheet-styles.js";

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
        <h1>Sheet for theatre</h1>
        <p>Serves when the phone cannot. Print it, or save it as a PDF, after the plan is final.</p>
        <gl-choice local field="instrument" path="sheet.instrument" .value=${this.instrument}
          @commit=${(/** @type {CustomEvent} */ event) => { this.instrument = event.detail.value; }}></gl-choice>
        <button type="button" class="main wide" ?disabled=${!this.sheet.value?.ready || this.sheet.stale}
          @click=${() => window.print()}>Print or save as PDF</button>
      </div>
      ${withState(this.sheet, () => this.page())}
    </div>`;
  }

  page() {
    const { ready, missing } = this.sheet.value;
    const { code, eye, demo } = /** @type {Record<string, any>} */ (this.case);
    if (!ready) {
      return html`<gl-banner kind="caution" heading="The plan is not complete">
        <ul>${missing.map((/** @type {{message: string}} */ item) => html`<li>${item.message}</li>`)}</ul>
        <p><a href=${eyeAddress(code, "plan")}>Back to the plan</a></p></gl-banner>`;
    }
    return html`<article aria-label="Sheet of this eye">
      <div class="top">
        <div class="eye"><strong>${eye === "right" ? "RIGHT EYE" : "LEFT EYE"}</strong><span class="code">${code}</span>
          ${demo ? html`<span>Demo, invented: not for a patient</span>` : nothing}</div>
        <div class="label">Patient label</div>
      </div>
      <div class="columns">${this.sheet.value.sections.map(section)}</div>
      ${this.readBack()} ${this.cautions()} ${gridOf(this.sheet.value.grid)} ${this.foot()}
    </article>`;
  }

  readBack() {
    return html`<section class="read"><h2>Read back aloud, from the notes and the lens box</h2>
      <ul>${this.sheet.value.readback.map((/** @type {Line} */ line) => html`<li><span>${line.label}</span><strong>${line.value}</strong></li>`)}</ul>
      <p class="sign">Read by <i></i> Confirmed by <i></i> Time <i></i></p></section>`;
  }

  cautions() {
    const found = /** @type {string[]} */ (this.sheet.value.cautions);
    return found.length ? html`<section><h2>Cautions</h2><ul class="plain">${found.map((text) => html`<li>${text}</li>`)}</ul></section>` : nothing;
  }

  foot() {
    const { core_version: core, build_id: build } = /** @type {Record<string, string>} */ (this.sheet.provenance);
    return html`<p class="foot">Made ${when(new Date().toISOString())} by Guyline ${core}${build ? ` (${build})` : ""}. Supports a licensed
      surgeon's judgement; the manufacturer's label and local rules come first. Void when anything above changes.</p>`;
  }
}

/** @param {{heading: string, lines: Line[]}} part */
function section(part) {
  return html`<section><h2>${part.heading}</h2><dl>${part.lines.map((line) => html`<div><dt>${line.label}</dt><dd>${line.value}</dd></div>`)}</dl></section>`;
}

/** @param {Grid} grid */
function gridOf(grid) {
  return html`<section class="grid"><h2>How much to cut from each haptic, mm</h2>
    <p>Both readings by ${grid.instrument.toLowerCase()}. Down the side: haptics drawn out. Along the top: haptics pushed in. <strong>${grid.lever}</strong></p>
    <div class="scroll" tabindex="0" role="region" aria-label="Grid of two readings to the cut"><table>
      <thead><tr><th scope="col">out \\ in</th>${grid.columns.map((text) => html`<th scope="col">${bare(text)}</th>`)}</tr></thead>
      <tbody>${grid.rows.map((row) => html`<tr><th scope="row">${bare(row.reading)}</th>
        ${row.cells.map((cell) => html`<td class=${cell.status}>${cell.text}</td>`)}</tr>`)}</tbody></table></div>
    <ol class="how">${grid.how.map((text) => html`<li>${text}</li>`)}</ol></section>`;
}

/** A table of dioptres needs its unit once. @param {string} text */
function bare(text) {
  return text.replace(/ D$/, "");
}

customElements.define("gl-sheet-view", SheetView);
