/** The Box: lenses by power and count, as typed from their labels; what is ready and what has expired. */
import { LitElement, html, nothing } from "lit";
import "../../elements/all.js";
import { anyText, fieldOf, signed } from "../../elements/format.js";
import { boxOf } from "../../store/box.js";
import { LiveAnswer } from "../stage/live-answer.js";
import { today } from "../stage/records.js";
import { withState } from "../stage/status.js";
import { stageStyles } from "../stage/styles.js";
import { boxStyles } from "./box-styles.js";
import { lensForm, LensForm } from "./lens-form.js";
import "./pack-view.js";
import { t } from "../../words/words.js";

/** @typedef {import("../../store/box.js").Row} Row */
/** @typedef {{id: string, label: string, pieces: number, state: string, note: string | null}} Listed */

const DRAFTS = "box";

export class BoxView extends LitElement {
  static properties = {
    store: { attribute: false },
    content: { state: true },
    drafts: { state: true },
    said: { state: true },
    canUndo: { state: true },
    fault: { state: true },
  };

  static styles = [...stageStyles, boxStyles];

  constructor() {
    super();
    /** @type {import("../../store/store.js").Store | null} */
    this.store = null;
    /** @type {import("../../store/box.js").Document | null} */
    this.content = null;
    /** @type {Record<string, string>} */
    this.drafts = {};
    this.said = "";
    this.canUndo = false;
    this.fault = "";
    this.answer = new LiveAnswer(this, "box");
    this.form = new LensForm(this);
    this.changed = () => void this.load();
    this.addEventListener("draft", (event) => this.keep(/** @type {CustomEvent} */ (event).detail));
  }

  get box() {
    return boxOf(/** @type {import("../../store/store.js").Store} */ (this.store));
  }

  disconnectedCallback() {
    this.box.removeEventListener("change", this.changed);
    super.disconnectedCallback();
  }

  async firstUpdated() {
    this.box.addEventListener("change", this.changed);
    this.drafts = await /** @type {import("../../store/store.js").Store} */ (this.store).drafts(DRAFTS);
    this.form.restore();
    await this.load();
  }

  async load() {
    try {
      this.content = await this.box.read();
      this.answer.follow({ lenses: this.content.rows, today: today() });
    } catch (reason) {
      this.fault = String(/** @type {Error} */ (reason).message);
    }
  }

  /** What is being typed survives an interruption. @param {{path: string, text: string | null}} detail */
  keep({ path, text }) {
    if (text === null) delete this.drafts[path];
    else this.drafts[path] = text;
    this.store?.draft(DRAFTS, path, text).catch((reason) => { this.fault = String(reason.message ?? reason); });
  }

  forgetDrafts() {
    for (const path of Object.keys(this.drafts)) this.keep({ path, text: null });
  }

  /** @param {Promise<void>} change @param {string} words @returns {Promise<boolean>} whether it was saved */
  async saved(change, words) {
    try {
      await change;
      Object.assign(this, { said: words, canUndo: true, fault: "" });
      return true;
    } catch (reason) {
      this.fault = t.box.notSaved(/** @type {Error} */ (reason).message);
      return false;
    }
  }

  async undo() {
    if (await this.saved(this.box.undo(), t.box.undone)) this.canUndo = false;
  }

  render() {
    if (!this.content) return html`<h1>${t.box.box}</h1><p class="soft" role="status">${this.fault || t.box.openingBox}</p>`;
    return html`<h1>${t.box.box}</h1>
      ${this.fault ? html`<gl-banner kind="stop">${this.fault}</gl-banner>` : nothing}
      ${this.content.rows.length ? this.renderLenses(this.content.rows) : emptyBox()}
      <gl-card class="put-in" heading=${t.box.putLenses}>${lensForm(this)}</gl-card>
      <gl-pack-view .store=${this.store} .rows=${this.content.rows}></gl-pack-view>
      <gl-undo class="undo" .message=${this.said} .possible=${this.canUndo} @undo=${this.undo}></gl-undo>`;
  }

  /** @param {Row[]} rows */
  renderLenses(rows) {
    return html`<gl-card heading=${t.box.lenses}>${withState(this.answer, () => html`
      <p data-role="summary">${this.answer.value.summary}</p>
      ${groups(rows, this.answer.value.rows).map(([name, listed]) => html`<section class="stack">
        <div class="head"><h3>${name || t.box.withoutName}</h3>
          <button type="button" class="quiet" @click=${() => this.another(listed[0].row)}>${t.box.addPower}</button></div>
        <ul aria-label=${name || t.box.lensesWithoutName}>${listed.map(({ row, shown }) => this.renderRow(row, shown))}</ul></section>`)}`)}</gl-card>`;
  }

  /** @param {Row} row @param {Listed} shown */
  renderRow(row, shown) {
    const power = signed(row.lens_power_d, "lens_power_d");
    return html`<li class="row ${shown.state}" data-row=${power}>
      <strong>${power}</strong>
      <div class="counter">
        <button type="button" aria-label=${t.box.takeOneOut(power)} ?disabled=${row.lens_count < 1}
          @click=${() => this.saved(this.box.count(t.box.oneTakenOut(power), row.id, -1), t.box.oneTakenOut(power))}>−</button>
        <b aria-label=${t.box.pieces(row.lens_count)}>${row.lens_count}</b>
        <button type="button" aria-label=${t.box.putOne(power)}
          @click=${() => this.saved(this.box.count(t.box.onePut(power), row.id, 1), t.box.onePut(power))}>+</button>
      </div>
      ${shown.note ? html`<p class="note">${MARKS[shown.state] ?? ""} ${shown.note}</p>` : nothing}
      <details class="more"><summary>${t.box.label}</summary>${labelFacts(row)}
        <button type="button" class="danger" @click=${() =>
          this.saved(this.box.remove(t.box.removedFromBox(power), row.id), t.box.removedFromBox(power))}>${t.box.removeFromBox}</button></details>
    </li>`;
  }

  /** The form takes up name and constants of a lens of the same model. @param {Row} row */
  another(row) {
    this.form.start(row);
    /** @type {HTMLElement | null} */ (this.renderRoot.querySelector("gl-card.put-in"))?.scrollIntoView({ block: "start" });
  }
}

/** @type {Record<string, string>} */
const MARKS = { expired: "✕", no_constant: "✕", soon: "!", empty: "○" };

function emptyBox() {
  return html`<gl-card heading=${t.box.boxEmpty}><p>${t.box.listHereLensesYou}</p>
    <p class="soft">${t.box.emptyBoxEveryPlan}</p></gl-card>`;
}

/** Rows by name, in the core's order. @param {Row[]} rows @param {Listed[]} listed */
function groups(rows, listed) {
  /** @type {Map<string, {row: Row, shown: Listed}[]>} */
  const found = new Map();
  for (const shown of listed) {
    const row = rows.find((one) => one.id === shown.id);
    if (!row) continue;
    const name = row.lens_name ?? "";
    found.set(name, [...(found.get(name) ?? []), { row, shown }]);
  }
  return [...found];
}

/** @param {Row} row */
function labelFacts(row) {
  return html`<dl class="facts">${LABEL.filter((name) => row[name] != null).map((name) => labelFact(name, row[name]))}</dl>`;
}

const LABEL = ["a", "pacd_mm", "surgeon_factor_mm", "a0", "a1", "a2", "lens_length_mm", "optic_diameter_mm",
  "haptic_length_mm", "constants_source", "expires_on"];

/** @param {string} name @param {unknown} value */
function labelFact(name, value) {
  return html`<div><dt>${fieldOf(name).label}</dt><dd>${anyText(value, name)}</dd></div>`;
}

customElements.define("gl-box-view", BoxView);
