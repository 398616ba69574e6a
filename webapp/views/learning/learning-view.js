/** What the surgeon's own eyes have taught: figures with their course, which eyes count, and why others do not. */
import { LitElement, html, nothing } from "lit";
import "../../charts/course-chart.js";
import "../../elements/all.js";
import { day, figures, plain, signed } from "../../elements/format.js";
import { DEFAULT_FORMULA, LEARN_AFTER } from "../../store/own-eyes.js";
import { eyeAddress } from "../router.js";
import { LiveAnswer } from "../stage/live-answer.js";
import { wordFor } from "../stage/fields.js";
import { today } from "../stage/records.js";
import { withState } from "../stage/status.js";
import { stageStyles } from "../stage/styles.js";
import { learningStyles } from "./learning-styles.js";
import { t } from "../../words/words.js";

/** @typedef {import("../../store/store.js").Store} Store */
/** @typedef {import("../../store/store.js").Case} Case */

const REASONS = {
  "A complication changed the outcome": t.learning.complicationChangedOutcome, "The refraction is not to be trusted": t.learning.refractionNotTrusted,
  "Another technique or lens": t.learning.anotherTechniqueLens, "Another surgeon operated": t.learning.anotherSurgeonOperated, "Another reason": t.learning.anotherReason,
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
    return html`<div class="stack"><a class="button" href="#/setup">${t.learning.backSetup}</a><h1>${t.learning.whatYourEyesHave}</h1>
      ${this.fault ? html`<gl-banner kind="stop" heading=${t.learning.didNotWork}>${this.fault}</gl-banner>` : nothing}
      ${this.eyes === null ? html`<p class="soft" role="status">${t.learning.openingYourEyes}</p>`
        : this.eyes.length === 0 ? noEyes() : html`${this.formulaChoice()}${withState(this.learn, () => this.taught(this.learn.value))}${this.start()}`}</div>`;
  }

  formulaChoice() {
    return html`<gl-card><gl-choice local label=${t.learning.learnedBaseFormula} field="formula" path="learning.formula" .value=${this.formula}></gl-choice></gl-card>`;
  }

  /** @param {any} found */
  taught(found) {
    return html`<div class="stack">
      ${found.eyes === 0 ? html`<gl-banner kind="info" heading=${t.learning.noEyeTeachesYet}>${t.learning.reasonsListedBelow}</gl-banner>` : nothing}
      ${found.eyes > 0 && this.learn.warnings.length ? this.learn.warnings.map((one) => html`<gl-banner kind="caution">${one.message}</gl-banner>`) : nothing}
      ${found.figures.map((/** @type {any} */ figure) => figureCard(figure, found.eyes))}
      ${found.eyes ? spread(found) : nothing}
      ${this.used(found)} ${this.notUsed(found.left_out)}</div>`;
  }

  /** @param {any} found */
  used(found) {
    if (!found.used.length) return nothing;
    const listed = this.all ? found.used : found.used.slice(-MOST_LISTED);
    return html`<gl-card heading=${t.learning.eyesTeach(found.used.length)} note=${t.learning.orderSurgeryBesideEach}>
      ${found.used.length > listed.length ? html`<button type="button" class="quiet" @click=${() => { this.all = true; }}>${t.learning.showAll}</button>` : nothing}
      <ul class="eyes" aria-label=${t.learning.eyesTeach2}>${listed.map((/** @type {any} */ one) => html`<li data-used=${one.code}>
        <a href=${eyeAddress(one.code, "follow-up")}>${one.code}</a><span>${day(one.surgery_on)}</span><strong>${signed(one.against_plan_d, "error_d")}</strong>
        ${this.excluding === one.code ? html`<div class="why"><gl-choice local label=${t.learning.whyLeaveOut} path="learning.reason" .options=${REASONS}></gl-choice>
          <button type="button" class="quiet" @click=${() => { this.excluding = null; }}>${t.learning.keep}</button></div>`
          : html`<button type="button" class="quiet" aria-label=${t.learning.leaveOut(one.code)} @click=${() => { this.excluding = one.code; }}>${t.learning.leaveOut2}</button>`}</li>`)}</ul></gl-card>`;
  }

  /** @param {Array<{code: string, reason: string, message: string}>} list */
  notUsed(list) {
    if (!list.length) return nothing;
    return html`<gl-card heading=${t.learning.eyesDoNot(list.length)}><ul class="eyes" aria-label=${t.learning.eyesDoNotTeach}>${list.map((one) => html`<li data-left-out=${one.code}>
      <a href=${eyeAddress(one.code, "follow-up")}>${one.code}</a><span class="reason">${one.message}</span>
      ${one.reason === "excluded_by_hand" ? html`<button type="button" class="quiet" aria-label=${t.learning.takeAgain(one.code)}
        @click=${() => this.leaveOut(one.code, null)}>${t.learning.takeAgain2}</button>` : nothing}</li>`)}</ul></gl-card>`;
  }

  start() {
    return html`<gl-card heading=${t.learning.startAgain}>${this.learnAfter
      ? html`<gl-banner kind="caution" heading=${t.learning.learningStartsAfter(day(this.learnAfter))}>${t.learning.eyesOperatedDayBefore}</gl-banner>
        <button type="button" @click=${() => this.startAfter(null)}>${t.learning.learnFromAllEyes}</button>`
      : html`<p>${t.learning.newLensNewTechnique}</p>
        <button type="button" @click=${() => this.startAfter(today())}>${t.learning.learnOnlyFromEyes}</button>`}</gl-card>`;
  }
}

function noEyes() {
  return html`<gl-banner kind="info" heading=${t.learning.noEyeTeachesYet}>${t.learning.eyeTeachesFromIts}</gl-banner>`;
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
      <span>${t.learning.to(figures(figure.low80, field), plain(figure.high80, field))}</span><span>${figure.eyes} ${t.learning.eyes(figure.eyes)}</span></p>
    <p class="hint">${figure.about}</p>
    <gl-course-chart .points=${figure.trail} .field=${field} .count=${eyes}></gl-course-chart></gl-card>`;
}

const TIMES = /** @type {import("../../elements/format.js").Field} */ ({ name: "times", label: "", meaning: "", kind: "number", unit: "", decimals: 2, lowest: null,
  highest: null, usual_low: null, usual_high: null, signed: false, choices: {} });

/** @param {any} found */
function spread(found) {
  return html`<gl-card heading=${t.learning.howWidePredict} note=${t.learning.intervalsWidenedNarrowedThese}>
    <dl class="facts"><div><dt>${t.learning.planBeforeReadings}</dt><dd>× ${plain(found.factors.plan.value, TIMES)}</dd></div>
      <div><dt>${t.learning.afterReadings}</dt><dd>× ${plain(found.factors.after_readings.value, TIMES)}</dd></div>
      ${found.noise.filter((/** @type {any} */ one) => one.readings).map((/** @type {any} */ one) => html`<div><dt>${t.learning.oneReading(wordFor("instrument", one.instrument).toLowerCase())}</dt>
        <dd>±${plain(one.sd_d, "sd_d")} <small>${t.learning.assumedReadings(plain(one.default_sd_d, "sd_d"), one.readings)}</small></dd></div>`)}</dl></gl-card>`;
}

customElements.define("gl-learning-view", LearningView);
