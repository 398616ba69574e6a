/** Follow-up of one eye: surgery date, what is due, visits, and how they compare with the prediction. */
import { LitElement, css, html, nothing } from "lit";
import "../../elements/all.js";
import "../stage/line.js";
import { LiveAnswer } from "../stage/live-answer.js";
import { LocalForm } from "../stage/local-form.js";
import { commit, stamp, today, valueAt } from "../stage/records.js";
import { cautions, withState } from "../stage/status.js";
import { stageStyles } from "../stage/styles.js";
import { visitForm } from "./visit-form.js";
import { visitList } from "./visit-list.js";

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
`;

export class FollowUpView extends LitElement {
  static properties = { case: { attribute: false }, drafts: { attribute: false } };

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
    this.refraction = new LiveAnswer(this, "refraction");
    this.refractionKey = "";
    this.addEventListener("draft", (event) => this.typed(/** @type {CustomEvent} */ (event).detail));
    this.addEventListener("commit", (event) => this.entered(/** @type {CustomEvent} */ (event).detail));
  }

  /** @param {Map<string, unknown>} changed */
  willUpdate(changed) {
    if (this.case && !this.resumed) {
      this.visit.restore();
      this.resumed = true;
    }
    if (changed.has("case") && this.case) this.followUp.follow({ case: this.case, today: today() });
    this.followRefraction();
  }

  /** Asks the core for both forms of what was written down. */
  followRefraction() {
    const { sphere_d = null, cylinder_d = null, axis_deg = null, vertex_mm = null } = this.visit.values;
    const key = JSON.stringify([sphere_d, cylinder_d, axis_deg, vertex_mm]);
    if (key === this.refractionKey || sphere_d === null || (cylinder_d && axis_deg === null)) return;
    this.refractionKey = key;
    this.refraction.follow({ sphere_d, cylinder_d, axis_deg, vertex_mm });
  }

  /** The entered refraction in minus form, once the core has given it for exactly what is entered. */
  get minusForm() {
    const { sphere_d = null, cylinder_d = null, axis_deg = null, vertex_mm = null } = this.visit.values;
    const current = JSON.stringify([sphere_d, cylinder_d, axis_deg, vertex_mm]) === this.refractionKey;
    return current && this.refraction.value && !this.refraction.stale && !this.refraction.failure
      ? this.refraction.value.minus : null;
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
    return html`<div class="stack">
      <gl-card heading="Surgery">
        <gl-line field="surgery_on" path="surgery_on" .value=${valueAt(this.case, "surgery_on")}
          .draft=${this.drafts?.surgery_on ?? null}></gl-line>
        ${withState(this.followUp, () => this.due())}
      </gl-card>
      <gl-card heading="Visits">${visitList(this)}</gl-card>
      ${visitForm(this)}
    </div>`;
  }

  due() {
    const { due, cautions: found } = this.followUp.value;
    return html`${due?.length ? html`<h3>Due visits</h3><ul class="due">${due.map((/** @type {any} */ one) => html`
      <li><span>${one.label}</span><span class=${one.state}>${one.on_day ?? ""} ${STATES[one.state] ?? one.state}</span></li>`)}</ul>` : nothing}
      ${cautions([...found, ...this.followUp.warnings])}`;
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

/** @type {Record<string, string>} */
const STATES = { done: "✓ done", late: "! late", due: "due now", later: "", missed: "! missed" };

customElements.define("gl-follow-up-view", FollowUpView);
