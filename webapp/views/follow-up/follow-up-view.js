/** Follow-up of one eye: surgery date, what is due, visits, and how they compare with the prediction. */
import { LitElement, css, html, nothing } from "lit";
import { day } from "../../elements/format.js";
import "../../elements/all.js";
import { notation } from "../../elements/notation.js";
import "../stage/line.js";
import { OwnEyesOf } from "../learning/own-eyes-of.js";
import { LiveAnswer } from "../stage/live-answer.js";
import { LocalForm } from "../stage/local-form.js";
import { commit, stamp, today, valueAt } from "../stage/records.js";
import { cautions, withState } from "../stage/status.js";
import { stageStyles } from "../stage/styles.js";
import { TypedRefraction } from "../stage/typed-refraction.js";
import { followAcuity } from "./acuity.js";
import { lostCard } from "./lost.js";
import { notesCard } from "./notes.js";
import { visitForm } from "./visit-form.js";
import { visitList } from "./visit-list.js";
import { t } from "../../words/words.js";

const followUpStyles = css`
  .visits { list-style: none; padding: 0; display: grid; gap: var(--gap-4); }
  .visits li { padding: var(--gap-3); border: 1px solid var(--rule); border-radius: var(--round); display: grid; gap: var(--gap-2); }
  .visit-head strong { white-space: nowrap; }
  .visit-head { display: flex; justify-content: space-between; gap: var(--gap-3); font-size: var(--text-large); }
  .gone .visit-head { text-decoration: line-through; color: var(--ink-soft); }
  .error { font-size: var(--text-large); font-weight: 600; }
  .outcome strong { font-size: var(--text-answer); line-height: 1.1; }
  .complications { display: flex; flex-wrap: wrap; gap: var(--gap-2); }
  .complications button[aria-pressed="true"] { background: var(--accent); border-color: var(--accent); color: var(--on-accent); }
  .due { list-style: none; padding: 0; display: grid; gap: var(--gap-1); }
  .due li { display: flex; justify-content: space-between; gap: var(--gap-3); padding-block: var(--gap-1); border-block-end: 1px solid var(--rule); }
  .due .late, .due .missed { color: var(--stop); font-weight: 700; }
  .due .done { color: var(--done); }
  .due .lost { color: var(--ink-soft); }
  .shown { font-weight: 600; }
  .words { font-weight: 400; font-size: var(--text-small); }
  .asked { display: grid; gap: var(--gap-2); }
  .asked button { text-align: start; }
  .detail { display: grid; gap: var(--gap-2); padding: var(--gap-3); border-inline-start: 4px solid var(--rule); }
  summary { min-height: 44px; display: flex; align-items: center; font-weight: 600; cursor: pointer; }
  summary::before { content: "+ "; white-space: pre; }
  details[open] > summary::before { content: "\2212  "; }
  .note-text { white-space: pre-wrap; overflow-wrap: anywhere; font: inherit; margin: 0; padding: var(--gap-3); border: 1px solid var(--rule);
    border-radius: var(--round); background: var(--sunken); }
  .label-lines { display: none; }
  .row { display: flex; flex-wrap: wrap; gap: var(--gap-2); }
  .row button { flex: 1 1 8rem; }
  .check { display: flex; align-items: center; gap: var(--gap-2); min-height: 44px; }
  .check input { width: 1.4em; height: 1.4em; }
  @media print {
    .with-note > :not(.notes), .screen-only { display: none; }
    .note-text { border: 0; padding: 0; background: none; color: #000; font-size: 10pt; line-height: 1.25; }
    .label-lines { display: grid; grid-template-columns: 1fr; gap: 0; }
    .label-lines p { min-height: 9mm; border-bottom: 1px solid #000; font-size: 9pt; color: #000; }
  }
`;

export class FollowUpView extends LitElement {
  static properties = { case: { attribute: false }, drafts: { attribute: false }, store: { attribute: false } };

  static styles = [...stageStyles, followUpStyles];

  constructor() {
    super();
    /** @type {Record<string, any> | null} */
    this.case = null;
    /** @type {Record<string, string> | null} */
    this.drafts = null;
    this.resumed = false;
    /** @type {string | null} */
    this.withdrawing = null;
    /** @type {string | null} */
    this.withdrawReason = null;
    this.visit = new LocalForm(this, "new_visit");
    this.followUp = new LiveAnswer(this, "follow_up_case");
    /** @type {import("../../store/store.js").Store | null} */
    this.store = null;
    this.own = new OwnEyesOf(this, [this.followUp], { asOfSurgery: true });
    this.refraction = new TypedRefraction(this, () => this.visit.values);
    this.acuity = { udva: new LiveAnswer(this, "acuity"), cdva: new LiveAnswer(this, "acuity") };
    this.acuityKeys = { udva: "", cdva: "" };
    this.gone = new LocalForm(this, "lost");
    this.notes = new LiveAnswer(this, "note_case");
    /** Which text is open. @type {import("./notes.js").Which | null} */
    this.note = null;
    this.noteDates = false;
    this.noteSaid = "";
    this.addEventListener("draft", (event) => this.typed(/** @type {CustomEvent} */ (event).detail));
    this.addEventListener("commit", (event) => this.entered(/** @type {CustomEvent} */ (event).detail));
  }

  /** @param {Map<string, unknown>} changed */
  willUpdate(changed) {
    if (this.case && !this.resumed) {
      this.visit.restore();
      this.gone.restore();
      this.resumed = true;
    }
    if (changed.has("case") && this.case) {
      this.own.follow(this.store, this.case);
      if (this.own.known) this.followUp.follow({ case: this.case, today: today(), ...this.own.start, ...notation.request });
    }
    if (changed.has("case")) this.askNotes();
    this.refraction.follow();
    followAcuity(this);
  }

  /** The texts are made anew from the eye as it is now. */
  askNotes() {
    if (this.note && this.case) this.notes.follow({ case: this.case, today: today(), dates: this.noteDates, ...notation.request });
  }

  /** @param {import("./notes.js").Which} which */
  showNote(which) {
    this.note = this.note === which ? null : which;
    this.noteSaid = "";
    this.askNotes();
    this.requestUpdate();
  }

  toggleDates() {
    this.noteDates = !this.noteDates;
    this.askNotes();
    this.requestUpdate();
  }

  /** @param {string} words */
  say(words) {
    this.noteSaid = words;
    this.requestUpdate();
  }

  /** @param {{path: string, text: string | null, local?: boolean}} detail */
  typed({ path, text, local }) {
    if (!local) this.followUp.typed(path, text !== null);
  }

  /** @param {{path: string, value: any, local?: boolean}} detail */
  entered({ path, value, local }) {
    if (!local) this.followUp.entered(path, value);
    if (local && path === "withdraw.reason") this.withdrawReason = value;
    this.requestUpdate();
  }

  render() {
    if (!this.case) return nothing;
    return html`<div class=${this.note ? "stack with-note" : "stack"}>
      <gl-card heading=${t.followUp.surgery}>
        <gl-line field="surgery_on" path="surgery_on" .value=${valueAt(this.case, "surgery_on")}
          .draft=${this.drafts?.surgery_on ?? null}></gl-line>
        ${withState(this.followUp, () => this.due())}
      </gl-card>
      <gl-card heading=${t.followUp.visits}>${visitList(this)}</gl-card>
      ${visitForm(this)}
      ${notesCard(this)}
    </div>`;
  }

  due() {
    const { due, cautions: found, done } = this.followUp.value;
    return html`${due?.length ? html`<h3>${t.followUp.dueVisits}</h3><ul class="due">${due.map((/** @type {any} */ one) => html`
      <li><span>${one.label}</span><span class=${one.state}>${one.on_day ? day(one.on_day) : ""} ${STATES[one.state] ?? one.state}</span></li>`)}</ul>` : nothing}
      ${done?.departs ? html`<gl-banner kind="caution" heading=${t.followUp.notAsDecided} data-role="departs">${done.departs}</gl-banner>` : nothing}
      ${lostCard(this)}
      ${found.filter((/** @type {any} */ one) => one.checks?.length).map(early)}
      ${cautions([...found.filter((/** @type {any} */ one) => !one.checks?.length), ...this.followUp.warnings])}`;
  }

  /** @param {string | null} id */
  startWithdrawing(id) {
    this.withdrawing = id;
    this.withdrawReason = null;
    this.requestUpdate();
  }

  /** @param {string} id */
  withdraw(id) {
    void commit(this, `follow_ups.${id}.withdrawn`, { at: stamp().at, reason: this.withdrawReason });
    this.startWithdrawing(null);
  }
}

/** A refraction not to be acted on yet: what to look at first. @param {{message: string, checks: string[]}} caution */
function early({ message, checks }) {
  return html`<gl-banner kind="caution" heading=${t.followUp.surpriseLookEyeFirst} data-role="early"><p>${message}</p>
    <ul>${checks.map((one) => html`<li>${one}</li>`)}</ul></gl-banner>`;
}

/** @type {Record<string, string>} */
const STATES = { done: t.followUp.stateDone, late: t.followUp.stateLate, due: t.followUp.dueNow, later: "", missed: t.followUp.stateMissed, lost: t.followUp.notExpected };

customElements.define("gl-follow-up-view", FollowUpView);
