import { LitElement, html, nothing } from "lit";
import "../../charts/gl-figure.js";
import { proseInMark } from "../../elements/notation.js";
import { ask, status } from "../../worker/client.js";
import { constants, empty, formulas, headline, titration } from "./result-cards.js";
import { rowsOf } from "./result-rows.js";
import { resultStyles } from "./results-styles.js";
import { t } from "../../words/words.js";
import { side } from "../../words/side.js";

/** @typedef {import("../../store/store.js").Store} Store */
/** @typedef {import("./result-rows.js").Row} Row */
/** @typedef {{code: string, reason: string}} LeftOut */

const LEFT_OUT = "results_left_out";
const ONE_EYE = "results_one_eye";
const REASONS = [t.results.anotherCauseExplainsRefraction, t.results.refractionNotTrusted, t.results.enteredWrongly, t.results.otherSurgerySince, t.results.notTechnique];

/** How the surgeon's own eyes turned out. */
export class ResultsView extends LitElement {
  static properties = {
    store: { attribute: false }, rows: { state: true }, value: { state: true }, more: { state: true }, movement: { state: true },
    leftOut: { state: true }, oneEye: { state: true }, demo: { state: true }, progress: { state: true }, fault: { state: true }, said: { state: true },
  };

  static styles = resultStyles;

  constructor() {
    super();
    /** @type {Store | null} */
    this.store = null;
    /** @type {Row[] | null} */
    this.rows = null;
    /** @type {Record<string, any> | null} */
    this.value = null;
    /** @type {Record<string, any> | null} */
    this.more = null;
    this.movement = 0;
    /** @type {LeftOut[]} */
    this.leftOut = [];
    this.oneEye = false;
    this.demo = false;
    this.progress = "";
    this.fault = "";
    this.said = "";
    /** @type {AbortController | null} */
    this.asking = null;
    this.redraw = () => this.requestUpdate();
    this.reload = () => this.load();
  }

  connectedCallback() {
    super.connectedCallback();
    status.addEventListener("change", this.redraw);
    this.store?.addEventListener("change", this.reload);
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    status.removeEventListener("change", this.redraw);
    this.store?.removeEventListener("change", this.reload);
    this.asking?.abort();
  }

  async firstUpdated() {
    this.store?.addEventListener("change", this.reload);
    await this.load();
  }

  /** Everything anew: records, rows, figures. */
  async load() {
    const store = /** @type {Store} */ (this.store);
    const { signal } = this.turn();
    try {
      const [records, leftOut, oneEye] = await Promise.all([store.list(), store.preference(LEFT_OUT), store.preference(ONE_EYE)]);
      if (signal.aborted) return;
      this.leftOut = leftOut ?? [];
      this.oneEye = oneEye ?? false;
      this.rows = await rowsOf(records, signal, (done, all) => { this.progress = all > 100 ? t.results.readingEyes(done, all) : t.results.readingEyes2; });
      await this.figure(signal);
    } catch (reason) {
      if (!signal.aborted) this.fault = String(/** @type {Error} */ (reason).message);
    }
  }

  turn() {
    this.asking?.abort();
    return (this.asking = new AbortController());
  }

  /** @param {AbortSignal} signal */
  async figure(signal) {
    if (!this.rows) return;
    const known = new Set(this.rows.map((row) => row.code));
    const excluded = this.leftOut.filter((one) => known.has(one.code));
    const asked = { rows: this.rows, excluded, one_eye_per_person: this.oneEye, demo: this.demo };
    const { value, provenance } = await ask("results", asked, { signal });
    if (signal.aborted) return;
    Object.assign(this, { value: proseInMark(value), movement: provenance.movement_per_mm, more: null, fault: "", progress: "" });
    if (!value.figures) return;
    const intervals = await ask("result_intervals", asked, { signal, waitForNumpy: true }).catch(() => null);
    if (!signal.aborted) this.more = intervals?.value ?? null;
  }

  async again() {
    const { signal } = this.turn();
    try {
      await this.figure(signal);
    } catch (reason) {
      if (!signal.aborted) this.fault = String(/** @type {Error} */ (reason).message);
    }
  }

  /** @param {SubmitEvent} event */
  async exclude(event) {
    event.preventDefault();
    const form = new FormData(/** @type {HTMLFormElement} */ (event.target));
    const [code, reason] = [String(form.get("code") ?? ""), String(form.get("reason") ?? "")];
    if (!code || !reason) {
      this.said = t.results.chooseEyeReasonFirst;
      return;
    }
    await this.keep([...this.leftOut.filter((one) => one.code !== code), { code, reason }], t.results.leftOut(code));
  }

  /** @param {string} code */
  async putBack(code) {
    await this.keep(this.leftOut.filter((one) => one.code !== code), t.results.countsAgain(code));
  }

  /** @param {LeftOut[]} leftOut @param {string} said */
  async keep(leftOut, said) {
    await this.store?.preference(LEFT_OUT, leftOut);
    Object.assign(this, { leftOut, said });
    await this.again();
  }

  async toggleOneEye() {
    this.oneEye = !this.oneEye;
    await this.store?.preference(ONE_EYE, this.oneEye);
    await this.again();
  }

  async toggleDemo() {
    this.demo = !this.demo;
    await this.again();
  }

  render() {
    const { value } = this;
    if (this.fault && !value) return html`<h1>${t.results.results}</h1><gl-banner kind="stop" heading=${t.results.resultsCouldNotMade}><p>${this.fault}</p></gl-banner>`;
    if (!value) return html`<h1>${t.results.results}</h1><p class="soft" role="status">${status.state === "ready" ? this.progress || t.results.readingEyes2 : status.sentence}</p>`;
    return html`<h1>${t.results.results}</h1>
      ${this.fault ? html`<gl-banner kind="stop" heading=${t.results.didNotWork}><p>${this.fault}</p></gl-banner>` : nothing}
      ${this.renderDemo()}
      ${value.figures ? this.renderFigures(value) : empty(value)}
      ${value.counts.records ? this.renderEyes(value) : nothing}`;
  }

  renderDemo() {
    const invented = this.rows?.some((row) => row.demo && row.state === "counted");
    if (!invented) return nothing;
    if (!this.demo) return html`<p class="soft">${t.results.demoEyesNoFigure} <button type="button" class="quiet" @click=${this.toggleDemo}>${t.results.lookThemAlone}</button></p>`;
    return html`<gl-banner kind="caution" heading=${t.results.inventedEyes}><p>${t.results.theseResultsDemoEyes}</p>
      <button type="button" @click=${this.toggleDemo}>${t.results.backMyEyes}</button></gl-banner>`;
  }

  /** @param {Record<string, any>} value */
  renderFigures(value) {
    return html`${headline(value, this.more)}${titration(value, this.movement)}
      <gl-card heading=${t.results.graphs}><div class="figures">${value.graphs.map((/** @type {any} */ graph) => html`<gl-figure .graph=${graph}></gl-figure>`)}</div></gl-card>
      ${formulas(value, this.more)}${constants(value)}
      <p><a href="#/learning">${t.results.whatYourEyesHave}</a></p>`;
  }

  /** @param {Record<string, any>} value */
  renderEyes({ excluded, waiting, rule }) {
    return html`<gl-card heading=${t.results.whichEyesCount}>
      <label class="tick"><input type="checkbox" .checked=${this.oneEye} @change=${this.toggleOneEye}>${t.results.oneEyePerson}</label>
      <p class="soft small">${rule}</p>
      ${excluded.length ? html`<h3>${t.results.leftOut2}</h3><ul class="plain">${excluded.map((/** @type {any} */ one) => this.renderLeftOut(one))}</ul>` : html`<p>${t.results.noEyeRefractionFrom}</p>`}
      ${waiting.length ? html`<details><summary>${t.results.stillCome(waiting.length)}</summary><ul class="plain">${waiting.map((/** @type {any} */ one) => html`<li><span><b>${one.code}</b> ${side(one.eye)}: ${one.message}</span></li>`)}</ul></details>` : nothing}
      ${this.renderExclude()}</gl-card>`;
  }

  /** @param {{code: string, eye: string | null, reason: string, message: string}} one */
  renderLeftOut({ code, eye, reason, message }) {
    const back = reason === "by_hand" ? html`<button type="button" @click=${() => this.putBack(code)} aria-label=${t.results.putBack(code)}>${t.results.putBack2}</button>` : nothing;
    return html`<li><span><b>${code}</b> ${side(eye)}: ${reason === "by_hand" ? t.results.hand : ""}${message}</span>${back}</li>`;
  }

  renderExclude() {
    const gone = new Set(this.leftOut.map((one) => one.code));
    const eyes = (this.rows ?? []).filter((row) => row.state === "counted" && row.demo === this.demo && !gone.has(row.code));
    return html`<details><summary>${t.results.leaveEyeOutHand}</summary><form @submit=${this.exclude}>
      <p class="soft">${t.results.staysListItsReason}</p>
      <label>${t.results.eye}<select name="code"><option value="">${t.results.choose}</option>${eyes.map((row) => html`<option value=${row.code}>${row.code} ${side(row.eye)}</option>`)}</select></label>
      <label>${t.results.reason}<select name="reason"><option value="">${t.results.choose}</option>${REASONS.map((word) => html`<option>${word}</option>`)}</select></label>
      <button>${t.results.leaveOut}</button></form></details><p role="status">${this.said}</p>`;
  }
}

customElements.define("gl-results-view", ResultsView);
