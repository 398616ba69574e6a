/** What the surgeon's own eyes have taught: figures with their course, which eyes count, and why others do not. */
import { LitElement, html, nothing } from "lit";
import "../../charts/course-chart.js";
import "../../elements/all.js";
import { figures, plain, signed } from "../../elements/format.js";
import { DEFAULT_FORMULA, LEARN_AFTER } from "../../store/own-eyes.js";
import { eyeAddress } from "../router.js";
import { LiveAnswer } from "../stage/live-answer.js";
import { wordFor } from "../stage/fields.js";
import { today } from "../stage/records.js";
import { withState } from "../stage/status.js";
import { stageStyles } from "../stage/styles.js";
import { learningStyles } from "./learning-styles.js";

/** @typedef {import("../../store/store.js").Store} Store */
/** @typedef {import("../../store/store.js").Case} Case */

const REASONS = {
  "A complication changed the outcome": "A complication changed the outcome", "The refraction is not to be trusted": "The refraction is not to be trusted",
  "Another technique or lens": "Another technique or lens", "Another surgeon operated": "Another surgeon operated", "Another reason": "Another reason",
};
const MOST_LISTED = 30;

export class LearningView extends LitElement {
  static properties = {
    store: { attribute: false },
    eyes: { state: true },
    learnAfter: { state: true },
    formula: { state: true },
    excluding: { state: true },
    all: { state: true },
    fault: { state: true },
  };

  static styles = [...stageStyles, learningStyles];

  constructor() {
    super();
    /** @type {Store | null} */
    this.store = null;
    /** @type {Case[] | null} */
    this.eyes = null;
    /** @type {string | null} */
    this.learnAfter = null;
    this.formula = DEFAULT_FORMULA;
    /** @type {string | null} */
    this.excluding = null;
    this.all = false;
    this.fault = "";
    this.learn = new LiveAnswer(this, "learn");
    this.changed = () => void this.load();
    this.addEventListener("commit", (event) => this.chosen(/** @type {CustomEvent} */ (event).detail));
  }

  firstUpdated() {
    this.store?.addEventListener("change", this.changed);
    void this.load();
  }

  disconnectedCallback() {
    this.store?.removeEventListener("change", this.changed);
    super.disconnectedCallback();
  }

  async load() {
    await this.tried(async () => {
      if (!this.store) return;
      this.learnAfter = await this.store.preference(LEARN_AFTER);
      this.eyes = (await this.store.list()).filter((record) => !record.demo && record.follow_ups?.length);
      this.ask();
    });
  }

  ask() {
    if (this.eyes?.length) this.learn.follow({ cases: this.eyes, formula: this.formula, after: this.learnAfter });
  }

  /** @param {{path: string, value: any}} detail */
  chosen({ path, value }) {
    if (path === "learning.formula") {
      this.formula = value;
      this.ask();
    } else if (this.excluding) {
      void this.leaveOut(this.excluding, value);
    }
  }

  /** @param {string} code @param {string | null} reason null takes the eye in again */
  leaveOut(code, reason) {
    this.excluding = null;
    return this.tried(() => this.store?.commit(code, "not_learned", reason === null ? null : { at: new Date().toISOString(), reason }));
  }

  /** @param {string | null} date */
  startAfter(date) {
    return this.tried(async () => {
      await this.store?.preference(LEARN_AFTER, date);
      await this.load();
    });
  }

  /** @param {() => Promise<unknown> | undefined} work */
  async tried(work) {
    this.fault = "";
    try {
      await work();
    } catch (reason) {
      this.fault = String(/** @type {Error} */ (reason).message ?? reason);
    }
  }

  render() {
    return html`<div class="stack"><a class="button" href="#/setup">Back to Setup</a><h1>What your eyes have taught</h1>
      ${this.fault ? html`<gl-banner kind="stop" heading="That did not work">${this.fault}</gl-banner>` : nothing}
      ${this.eyes === null ? html`<p class="soft" role="status">Opening your eyes…</p>`
        : this.eyes.length === 0 ? noEyes() : html`${this.formulaChoice()}${withState(this.learn, () => this.taught(this.learn.value))}${this.start()}`}</div>`;
  }

  formulaChoice() {
    return html`<gl-card><gl-choice local label="Learned for the base formula" field="formula" path="learning.formula" .value=${this.formula}></gl-choice></gl-card>`;
  }

  /** @param {any} found */
  taught(found) {
    return html`<div class="stack">
      ${found.eyes === 0 ? html`<gl-banner kind="info" heading="No eye teaches yet">The reasons are listed below.</gl-banner>` : nothing}
      ${found.eyes > 0 && this.learn.warnings.length ? this.learn.warnings.map((one) => html`<gl-banner kind="caution">${one.message}</gl-banner>`) : nothing}
      ${found.figures.map((/** @type {any} */ figure) => figureCard(figure, found.eyes))}
      ${found.eyes ? spread(found) : nothing}
      ${this.used(found)} ${this.notUsed(found.left_out)}</div>`;
  }

  /** @param {any} found */
  used(found) {
    if (!found.used.length) return nothing;
    const listed = this.all ? found.used : found.used.slice(-MOST_LISTED);
    return html`<gl-card heading=${`Eyes that teach: ${found.used.length}`} note="In order of surgery. Beside each: what it ended with, less what the plan expects for the length that was left.">
      ${found.used.length > listed.length ? html`<button type="button" class="quiet" @click=${() => { this.all = true; }}>Show all</button>` : nothing}
      <ul class="eyes" aria-label="Eyes that teach">${listed.map((/** @type {any} */ one) => html`<li data-used=${one.code}>
        <a href=${eyeAddress(one.code, "follow-up")}>${one.code}</a><span>${one.surgery_on}</span><strong>${signed(one.against_plan_d, "error_d")}</strong>
        ${this.excluding === one.code ? html`<div class="why"><gl-choice local label="Why leave it out?" path="learning.reason" .options=${REASONS}></gl-choice>
          <button type="button" class="quiet" @click=${() => { this.excluding = null; }}>Keep it</button></div>`
          : html`<button type="button" class="quiet" aria-label=${`Leave out ${one.code}`} @click=${() => { this.excluding = one.code; }}>Leave out</button>`}</li>`)}</ul></gl-card>`;
  }

  /** @param {Array<{code: string, reason: string, message: string}>} list */
  notUsed(list) {
    if (!list.length) return nothing;
    return html`<gl-card heading=${`Eyes that do not: ${list.length}`}><ul class="eyes" aria-label="Eyes that do not teach">${list.map((one) => html`<li data-left-out=${one.code}>
      <a href=${eyeAddress(one.code, "follow-up")}>${one.code}</a><span class="reason">${one.message}</span>
      ${one.reason === "excluded_by_hand" ? html`<button type="button" class="quiet" aria-label=${`Take in ${one.code} again`}
        @click=${() => this.leaveOut(one.code, null)}>Take it in again</button>` : nothing}</li>`)}</ul></gl-card>`;
  }

  start() {
    return html`<gl-card heading="Start again">${this.learnAfter
      ? html`<gl-banner kind="caution" heading="Learning starts after ${this.learnAfter}">Eyes operated on that day or before teach nothing now. Nothing was deleted.</gl-banner>
        <button type="button" @click=${() => this.startAfter(null)}>Learn from all eyes again</button>`
      : html`<p>With a new lens, a new technique or a new instrument, earlier eyes may mislead. Nothing is deleted, and it can be taken back.</p>
        <button type="button" @click=${() => this.startAfter(today())}>Learn only from eyes after today</button>`}</gl-card>`;
  }
}

function noEyes() {
  return html`<gl-banner kind="info" heading="No eye teaches yet">An eye teaches from its first complete refraction four weeks after surgery or later.
    Until then every plan starts from the usual assumptions.</gl-banner>`;
}

/** @param {any} figure */
function fieldFor({ label, unit, signed: sign }) {
  return /** @type {import("../../elements/format.js").Field} */ ({ name: label, label, meaning: "", kind: "number", unit, decimals: 2, lowest: null,
    highest: null, usual_low: null, usual_high: null, signed: sign, choices: {} });
}

/** @param {any} figure @param {number} eyes all that teach: the course runs over every one of them */
function figureCard(figure, eyes) {
  const field = fieldFor(figure);
  return html`<gl-card heading=${figure.label} data-figure=${figure.name}>
    <p class="value"><strong>${plain(figure.mean, field)}</strong>
      <span>80 %: ${figures(figure.low80, field)} to ${plain(figure.high80, field)}</span><span>${figure.eyes} ${figure.eyes === 1 ? "eye" : "eyes"}</span></p>
    <p class="hint">${figure.about}</p>
    <gl-course-chart .points=${figure.trail} .field=${field} .count=${eyes}></gl-course-chart></gl-card>`;
}

const TIMES = /** @type {import("../../elements/format.js").Field} */ ({ name: "times", label: "", meaning: "", kind: "number", unit: "", decimals: 2, lowest: null,
  highest: null, usual_low: null, usual_high: null, signed: false, choices: {} });

/** @param {any} found */
function spread(found) {
  return html`<gl-card heading="How wide to predict" note="Intervals are widened or narrowed by these factors; expected values are never moved by them.">
    <dl class="facts"><div><dt>Plan, before readings</dt><dd>× ${plain(found.factors.plan.value, TIMES)}</dd></div>
      <div><dt>After readings</dt><dd>× ${plain(found.factors.after_readings.value, TIMES)}</dd></div>
      ${found.noise.filter((/** @type {any} */ one) => one.readings).map((/** @type {any} */ one) => html`<div><dt>One reading, ${wordFor("instrument", one.instrument).toLowerCase()}</dt>
        <dd>±${plain(one.sd_d, "sd_d")} <small>(assumed ±${plain(one.default_sd_d, "sd_d")}; ${one.readings} readings)</small></dd></div>`)}</dl></gl-card>`;
}

customElements.define("gl-learning-view", LearningView);
