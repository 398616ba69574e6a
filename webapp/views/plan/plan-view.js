/** The plan of one eye: inputs, findings, result, and the read-back before theatre. */
import { LitElement, html, nothing } from "lit";
import "../../charts/reach-chart.js";
import "../../elements/all.js";
import { when } from "../../elements/format.js";
import { AtHand } from "../box/at-hand.js";
import "../stage/line.js";
import "../stage/read-back.js";
import { eyeAddress } from "../router.js";
import { LiveAnswer } from "../stage/live-answer.js";
import { today, valueAt } from "../stage/records.js";
import { withState } from "../stage/status.js";
import { stageStyles } from "../stage/styles.js";
import { OwnEyesOf } from "../learning/own-eyes-of.js";
import "./aphakic-cylinder.js";
import "./around-card.js";
import { fellowOf } from "./both-eyes.js";
import { eyeCard, measurementCard } from "./eye-cards.js";
import { fillCard } from "./fill-after.js";
import { findingsList } from "./findings.js";
import { readBackFor } from "./read-back-for.js";
import { planStyles } from "./plan-styles.js";
import { missingList, planResult } from "./result.js";
import { aphakicCard } from "./second-route.js";
import { fixationCard, lensCard, targetCard } from "./surgery-cards.js";
import { t } from "../../words/words.js";

/** @typedef {import("./result.js").PlanAnswer} PlanAnswer */

export class PlanView extends LitElement {
  static properties = {
    case: { attribute: false },
    drafts: { attribute: false },
    store: { attribute: false },
    fellow: { state: true },
    selected: { state: true },
  };

  static styles = [...stageStyles, planStyles];

  constructor() {
    super();
    /** @type {Record<string, any> | null} */
    this.case = null;
    /** @type {Record<string, string> | null} */
    this.drafts = null;
    this.atHand = new AtHand(this);
    /** @type {string | null} */
    this.selected = null;
    this.check = new LiveAnswer(this, "check_case");
    this.plan = new LiveAnswer(this, "plan_case");
    /** @type {import("../../store/store.js").Store | null} */
    this.store = null;
    /** @type {Record<string, any> | null} the other eye of the same person */
    this.fellow = null;
    this.person = "";
    this.own = new OwnEyesOf(this, [this.plan]);
    this.addEventListener("draft", (event) => this.typed(/** @type {CustomEvent} */ (event).detail));
    this.addEventListener("commit", (event) => this.entered(/** @type {CustomEvent} */ (event).detail));
  }

  /** @param {Map<string, unknown>} changed */
  willUpdate(changed) {
    if (!this.case || !(changed.has("case") || changed.has("fellow"))) return;
    this.own.follow(this.store, this.case);
    void this.findFellow();
    this.check.follow({ case: this.case, fellow: this.fellow, today: today() });
    if (changed.has("case") && this.own.known && this.atHand.content) {
      this.plan.follow({ case: this.case, ...this.own.start, ...this.atHand.request });
    }
  }

  /** The other eye is looked up when the person's code is new; one that cannot be read compares nothing. */
  async findFellow() {
    const person = this.case?.person ?? "";
    if (!this.case || person === this.person) return;
    this.person = person;
    this.fellow = await fellowOf(this.store, this.case).catch(() => null);
  }

  /** What is typed into a form of its own changes no answer. @param {{path: string, text: string | null, local?: boolean}} detail */
  typed({ path, text, local }) {
    if (local) return;
    for (const answer of [this.check, this.plan]) answer.typed(path, text !== null);
  }

  /** @param {{path: string, value: unknown, local?: boolean}} detail */
  entered({ path, value, local }) {
    if (local) return;
    for (const answer of [this.check, this.plan]) answer.entered(path, value);
    if (path === "lens.lens_power_d" || path === "lens") this.selected = null;
  }

  /** What stands in for empty entries. @returns {Record<string, string>} */
  get assumed() {
    return this.plan.value?.assumed ?? {};
  }

  /** Entries in the other unit. @returns {Record<string, string>} */
  get otherwise() {
    return this.check.stale ? {} : this.check.value?.otherwise ?? {};
  }

  render() {
    if (!this.case) return nothing;
    return html`<div class="stack">
      ${eyeCard(this)} ${measurementCard(this, this.fellow)} ${lensCard(this)} ${targetCard(this)}
      ${aphakicCard(this)} ${fillCard(this)} ${fixationCard(this, this.plan.value?.clocks ?? null)}
      <gl-around-card .case=${this.case} .drafts=${this.drafts}></gl-around-card>
      <gl-card heading=${t.plan.findings}>
        ${withState(this.check, () => findingsList(this.check.value.findings, (path) => this.goTo(path)))}
      </gl-card>
      <gl-card heading=${t.plan.result}>${withState(this.plan, () => this.result())}</gl-card>
      <gl-card heading=${t.plan.readBackBeforeTheatre}>${this.readBack()}</gl-card>
    </div>`;
  }

  result() {
    return planResult(this, this.plan.value, {
      target: valueAt(this.case, "plan.target_d"),
      selected: this.selected,
      own: this.own,
      select: (key) => { this.selected = key; },
      goTo: (path) => this.goTo(path),
    });
  }

  readBack() {
    const plan = /** @type {PlanAnswer | null} */ (this.plan.value);
    if (!plan?.ready || !plan.readback) return this.unready(plan);
    const done = readBackFor(this.case, plan.readback.fingerprint);
    if (done && !this.plan.stale) return html`<gl-banner kind="done">${t.plan.readBackTwoPeople(when(done.at))}</gl-banner>${this.paper()}`;
    const earlier = (this.case?.readbacks ?? []).some((/** @type {any} */ entry) => entry.kind === "plan");
    return html`
      ${earlier ? html`<gl-banner kind="stop">${t.plan.planHasChangedSince}</gl-banner>` : html`<p>${t.plan.secondPersonFromPatients}</p>`}
      <gl-read-back kind="plan" identifiers .lines=${plan.readback.lines} .fingerprint=${plan.readback.fingerprint}
        .blocked=${this.plan.stale}></gl-read-back>${this.paper()}`;
  }

  /** The way to the printed page, for a theatre where the phone may not serve. */
  paper() {
    return html`<a class="button quiet" href=${eyeAddress(this.case?.code, "sheet")}>${t.plan.sheetTheatrePaperGrid}</a>`;
  }

  /** @param {PlanAnswer | null} plan */
  unready(plan) {
    return html`<p>${t.plan.readBackOpensWhen}</p>
      ${plan?.missing?.length ? missingList(plan.missing, (path) => this.goTo(path)) : nothing}`;
  }

  /**
   * Brings the field of a finding into view and puts the focus there.
   * @param {string} path
   */
  goTo(path) {
    const inside = this.renderRoot.querySelector("gl-aphakic-cylinder")?.shadowRoot;
    const fields = /** @type {HTMLElement[]} */ ([this.renderRoot, inside].flatMap((root) => [...root?.querySelectorAll("[path]") ?? []]));
    const names = [path, path.replace("aphakic.", "aphakic_typed.")];
    const found = fields.find((field) => names.includes(field.getAttribute("path") ?? ""));
    if (!found) return;
    const folded = found.closest("details");
    if (folded) folded.open = true;
    found.scrollIntoView({ block: "center" });
    found.focus();
  }
}

customElements.define("gl-plan-view", PlanView);
