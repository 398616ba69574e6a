/** The theatre of one eye: one screen at a time, very large, with explicit Next and Back. */
import { LitElement, html, nothing } from "lit";
import "../../elements/all.js";
import "../../charts/titration-chart.js";
import "../stage/read-back.js";
import "./hand-over.js";
import { activeField, keypadLink } from "../../elements/keypad-link.js";
import { hapticNames } from "../stage/clock.js";
import { AtHand } from "../box/at-hand.js";
import { OwnEyesOf } from "../learning/own-eyes-of.js";
import { LiveAnswer } from "../stage/live-answer.js";
import { LocalForm } from "../stage/local-form.js";
import { commit, keep, kept, stamp } from "../stage/records.js";
import { stageStyles } from "../stage/styles.js";
import { TypedRefraction } from "../stage/typed-refraction.js";
import { adviceStep, chartStep } from "./advice-steps.js";
import { aphakicStep } from "./aphakic-step.js";
import { conditionsStep } from "./conditions-step.js";
import { cutStep } from "./cut-step.js";
import { asReading, lacking } from "./form.js";
import { gateStep } from "./gate-step.js";
import { logStep } from "./log-step.js";
import { eyeStep, valueStep, whereStep } from "./new-reading-steps.js";
import { readingsStep } from "./readings-step.js";
import { TITLES, after, before, isStep } from "./steps.js";
import { theatreStyles } from "./theatre-styles.js";
import { WakeLock } from "./wake-lock.js";
import { t } from "../../words/words.js";

/** @typedef {import("./steps.js").StepName} StepName */

/** @type {Record<StepName, (view: TheatreView) => unknown>} */
const SCREENS = {
  gate: gateStep, readings: readingsStep, aphakic: aphakicStep, conditions: conditionsStep, where: whereStep,
  reading: valueStep, eye: eyeStep, chart: chartStep, advice: adviceStep, cut: cutStep, log: logStep,
};

const SCREEN_DRAFT = "theatre.screen";
const CONDITIONS_DRAFT = "theatre.conditions";
const CHOSEN_DRAFT = "theatre.chosen";
/** The end of the tap that led to a screen touches nothing on it. */
const ARRIVING_MS = 150;

export class TheatreView extends LitElement {
  static properties = {
    case: { attribute: false }, drafts: { attribute: false }, store: { attribute: false }, boxFault: { state: true },
  };

  static styles = [...stageStyles, ...theatreStyles];

  constructor() {
    super();
    /** @type {Record<string, any> | null} */
    this.case = null;
    /** @type {Record<string, string> | null} */
    this.drafts = null;
    /** @type {StepName | null} */
    this.step = null;
    this.reading = new LocalForm(this, "new_reading");
    this.typed = new TypedRefraction(this, () => (this.reading.values.form === "cylinder" ? this.reading.values : {}),
      () => this.reading.values.held !== "held");
    this.entry = new LocalForm(this, "new_step");
    this.ownCuts = new LocalForm(this, "own_cut");
    /** The surgeon's own cuts in place of the advised ones. @type {[number, number] | null} */
    this.chosen = null;
    /** @type {string[]} */
    this.conditions = [];
    this.chosenFrom = "";
    this.allReadings = false;
    this.neighbours = false;
    /** The neighbour of the advised cut that is looked at, by its place in the core's list. @type {number | null} */
    this.lookedAt = null;
    this.lock = new WakeLock(this);
    this.handingOver = false;
    /** @type {string | null} */
    this.withdrawing = null;
    /** @type {string | null} */
    this.withdrawReason = null;
    /** @type {string | null} */
    this.correcting = null;
    this.plan = new LiveAnswer(this, "plan_case");
    this.theatre = new LiveAnswer(this, "theatre_case");
    /** @type {import("../../store/store.js").Store | null} */
    this.store = null;
    this.own = new OwnEyesOf(this, [this.plan, this.theatre]);
    this.atHand = new AtHand(this);
    this.boxFault = "";
    this.redraw = () => this.requestUpdate();
    this.addEventListener("commit", (event) => this.entered(/** @type {CustomEvent} */ (event)));
  }

  connectedCallback() {
    super.connectedCallback();
    keypadLink.addEventListener("change", this.redraw);
  }

  disconnectedCallback() {
    keypadLink.removeEventListener("change", this.redraw);
    super.disconnectedCallback();
  }

  /** @param {Map<string, unknown>} changed */
  willUpdate(changed) {
    if (this.step === null && this.case) this.resume();
    this.typed.follow();
    if (!changed.has("case") || !this.case) return;
    this.showDecision(changed.get("case"));
    this.own.follow(this.store, this.case);
    if (!this.own.known || !this.atHand.content) return;
    this.plan.follow({ case: this.case, ...this.own.start });
    this.lookedAt = null;
    if (this.chosen && this.readingsNow !== this.chosenFrom) this.choose(null);
    else this.askTheatre();
  }

  /** A decision that was just stored is seen from its top. @param {any} before */
  showDecision(before) {
    if (this.step !== "cut" || !before || before.decisions.length === this.case?.decisions.length) return;
    void this.updateComplete.then(() => this.scrollIntoView({ block: "start" }));
  }

  askTheatre() {
    this.theatre.follow({ case: this.case, ...this.own.start, ...this.atHand.request, ...(this.chosen ? { cut_mm: this.chosen } : {}) });
  }

  /** The readings as they stand: a choice made on others is forgotten. */
  get readingsNow() {
    return JSON.stringify(this.case?.readings ?? []);
  }

  /** @param {[number, number] | null} cuts */
  choose(cuts) {
    this.chosen = cuts;
    this.chosenFrom = this.readingsNow;
    this.lookedAt = null;
    keep(this, CHOSEN_DRAFT, cuts && { cuts, from: this.chosenFrom });
    if (!cuts) this.ownCuts.clear();
    this.askTheatre();
    this.requestUpdate();
  }

  /** Goes back to where this eye was left. */
  resume() {
    const place = kept(this.drafts, SCREEN_DRAFT);
    this.step = isStep(place) ? place : "gate";
    const conditions = kept(this.drafts, CONDITIONS_DRAFT);
    if (Array.isArray(conditions)) this.conditions = conditions;
    this.reading.restore();
    this.entry.restore();
    this.ownCuts.restore();
    const choice = kept(this.drafts, CHOSEN_DRAFT);
    this.chosen = choice?.cuts ?? null;
    this.chosenFrom = choice?.from ?? "";
  }

  /** The haptics' names. @returns {{a: string, b: string}} */
  get clocks() {
    return hapticNames(this.theatre.value?.clocks);
  }

  /** @returns {{a: number | null, b: number | null}} */
  get removed() {
    const lengths = this.theatre.value?.lengths;
    return { a: lengths?.a?.removed_mm ?? null, b: lengths?.b?.removed_mm ?? null };
  }

  get isFirst() {
    return (this.case?.readings ?? []).length === 0;
  }

  render() {
    if (!this.case || !this.step) return nothing;
    if (this.handingOver) return html`<gl-hand-over .record=${this.case} .theatre=${this.theatre.value}
      .clocks=${this.clocks} .lit=${this.lock.sentence} ?old=${this.theatre.stale} @leave=${() => this.handOver(false)}></gl-hand-over>`;
    return html`
      <div class="step" data-step=${this.step}>
        <div class="step-title"><h2>${TITLES[this.step]}</h2>
          <button type="button" class="quiet" @click=${() => this.handOver(true)}>${t.theatre.handOver}</button>
          <p class="lit" role="status">${this.lock.state === "held" ? "✓" : "!"} ${this.lock.brief}</p></div>
        ${SCREENS[this.step](this)}
      </div>
      ${activeField() ? nothing : this.navigation(this.step)}`;
  }

  /** @param {StepName} step */
  navigation(step) {
    const [back, next] = [before(step), after(step)];
    return html`<nav aria-label=${t.theatre.steps}>
      <button type="button" ?disabled=${!back} @click=${() => back && this.moveOn(back)}>${t.theatre.back}</button>
      ${step === "eye"
        ? html`<button type="button" class="main" ?disabled=${!this.canSave} @click=${this.saveReading}>${t.theatre.saveReading}</button>`
        : next ? html`<button type="button" class="main" ?disabled=${!this.mayLeave(step)} @click=${() => this.moveOn(next)}>
            ${t.theatre.next}<span class="unseen">: ${TITLES[next]}</span></button>` : nothing}
    </nav>`;
  }

  /** @param {StepName} step @returns {boolean} */
  mayLeave(step) {
    if (step === "gate") return this.theatre.value !== null && !this.theatre.value.blocked && !this.theatre.stale;
    return lacking(this.reading.values, step, this.isFirst, this.typed.minus).length === 0;
  }

  get canSave() {
    const complete = ["where", "reading", "eye"].every((step) => lacking(this.reading.values, step, this.isFirst, this.typed.minus).length === 0);
    return complete && this.removed.a !== null && this.removed.b !== null && !this.theatre.stale;
  }

  /** Another screen by Next or Back: the word about the last entry stays with the screen it was made on. @param {StepName} step */
  moveOn(step) {
    this.dispatchEvent(new CustomEvent("moved-on", { bubbles: true, composed: true }));
    this.go(step);
  }

  /** @param {StepName} step */
  go(step) {
    if (step === "conditions" && this.step === "readings") this.prefill();
    this.step = step;
    keep(this, SCREEN_DRAFT, step);
    this.requestUpdate();
    this.scrollIntoView({ block: "start" });
    this.toggleAttribute("arriving", true);
    setTimeout(() => this.toggleAttribute("arriving", false), ARRIVING_MS);
  }

  /**
   * A new reading starts from how the last one was taken, said on the screen; lengths, IOP, values and
   * conditions never.
   */
  prefill() {
    const last = (this.case?.readings ?? []).filter((/** @type {any} */ one) => !one.withdrawn).at(-1);
    if (!last) return;
    const { instrument, infusion, fill, iridectomy_done, working_distance_m, vertex_mm } = last;
    const form = last.meridian_1_d != null ? "meridians" : last.sphere_d != null ? "cylinder" : "equivalent";
    const held = instrument !== "retinoscope" ? null : working_distance_m == null ? "net" : "held";
    const as_last = { as_last_reading: instrument != null, as_last_eye: infusion != null && fill != null && iridectomy_done != null };
    this.reading.set({ instrument, infusion, fill, iridectomy_done, form, held, working_distance_m, vertex_mm, ...as_last, ...this.reading.values });
  }

  /** @param {string[]} words @param {boolean} on */
  condition(words, on) {
    const others = this.conditions.filter((one) => !words.includes(one));
    this.conditions = on ? [...others, ...words] : others;
    keep(this, CONDITIONS_DRAFT, this.conditions);
    this.requestUpdate();
  }

  /** @param {CustomEvent} event */
  entered({ detail }) {
    if (!detail.local) for (const answer of [this.plan, this.theatre]) answer.entered(detail.path, detail.value);
    if (detail.local && detail.path === "withdraw.reason") this.withdrawReason = detail.value;
    if (detail.local && detail.path === "new_reading.moved" && detail.value === "no") this.sameLengths();
    this.requestUpdate();
  }

  /**
   * Nothing moved: the lengths are those of the last reading, shown and still open to change. Not after a
   * withdrawn reading, nor when something was done to a haptic since: then they are measured again.
   */
  sameLengths() {
    const last = this.case?.readings?.at(-1);
    const since = (this.case?.haptic_log ?? []).some((/** @type {any} */ entry) => entry.at > (last?.at ?? ""));
    if (!last || last.withdrawn || since) return;
    const { length_basis, outside_a_mm, outside_b_mm } = last;
    this.reading.set({ length_basis, outside_a_mm, outside_b_mm });
  }

  async saveReading() {
    const { a, b } = this.removed;
    if (a === null || b === null) return;
    const readings = this.case?.readings ?? [];
    const entry = asReading(this.reading.values, { removed: { a, b }, readings, conditions: this.conditions, minus: this.typed.minus });
    if (!(await this.reading.save("readings", entry))) return;
    this.conditions = [];
    keep(this, CONDITIONS_DRAFT, null);
    this.go("readings");
  }

  /** @param {Record<string, unknown>} entry */
  async logEntry(entry) {
    if (await this.entry.save("haptic_log", entry)) this.correcting = null;
  }

  /** @param {string | null} id */
  startWithdrawing(id) {
    this.withdrawing = id;
    this.withdrawReason = null;
    this.requestUpdate();
  }

  /** @param {string} id */
  withdraw(id) {
    commit(this, `readings.${id}.withdrawn`, { at: stamp().at, reason: this.withdrawReason });
    this.startWithdrawing(null);
  }

  /** @param {string | null} id the log entry to correct */
  correct(id) {
    const entry = this.case?.haptic_log.find((/** @type {any} */ one) => one.id === id);
    this.correcting = id;
    if (entry) this.entry.set({ haptic: entry.haptic, haptic_step: entry.haptic_step });
    this.requestUpdate();
    this.scrollIntoView({ block: "start" });
  }

  toggleAllReadings() {
    this.allReadings = !this.allReadings;
    this.requestUpdate();
  }

  toggleNeighbours() {
    this.neighbours = !this.neighbours;
    this.requestUpdate();
  }

  /** @param {number | null} place in the core's list of neighbours */
  lookAt(place) {
    this.lookedAt = place;
    this.requestUpdate();
  }

  /** @param {boolean} on */
  handOver(on) {
    this.handingOver = on;
    this.requestUpdate();
  }
}

customElements.define("gl-theatre-view", TheatreView);
