/** The visits so far: what was found, and how it compares with what was predicted. */
import { html, nothing } from "lit";
import { day, signed } from "../../elements/format.js";
import { fact } from "../stage/facts.js";
import { wordFor } from "../stage/fields.js";
import { written } from "./visit-form.js";
import { t } from "../../words/words.js";

/** @typedef {import("./follow-up-view.js").FollowUpView} FollowUpView */

/** @param {FollowUpView} view */
export function visitList(view) {
  const stored = /** @type {any[]} */ (view.case?.follow_ups ?? []);
  if (stored.length === 0) return html`<p>${t.followUp.noVisitsYet}</p>`;
  return html`<ol class="visits">${stored.map((visit) => html`<li data-visit=${visit.id}
    class=${visit.withdrawn ? "gone" : ""}>${visitRow(view, visit)}</li>`)}</ol>`;
}

/** @param {FollowUpView} view @param {any} visit */
function visitRow(view, visit) {
  const seen = view.followUp.value?.visits?.find((/** @type {any} */ one) => one.id === visit.id);
  return html`
    <p class="visit-head"><strong>${day(visit.on)}</strong> ${seen?.days == null ? nothing : html`<span>${t.followUp.day(seen.days)}${seen.label ? html`<br><small>${seen.label}${seen.late_days ? t.followUp.dLate(seen.late_days) : ""}</small>` : nothing}</span>`}</p>
    ${visit.withdrawn ? html`<p>${t.followUp.withdrawn(visit.withdrawn.reason)}</p>` : html`
      ${seen ? comparison(seen) : nothing}
      <dl class="facts">
        ${visit.sphere_d == null ? nothing : html`
          ${fact(wordFor("refraction_method", visit.refraction_method), seen?.forms?.[0].text ?? asWritten(visit))}
          ${seen?.forms ? fact(seen.forms[1].label, seen.forms[1].text) : nothing}
          ${seen?.words ? html`<div><dt class="unseen">${t.followUp.words}</dt><dd class="words">${seen.words}</dd></div>` : nothing}`}
        ${(seen?.facts ?? []).map((/** @type {any} */ one) => fact(one.label, one.value))}
      </dl>
      ${withdrawal(view, visit)}`}`;
}

/** @param {any} visit @returns {string} */
function asWritten(visit) {
  return visit.cylinder_d == null ? signed(visit.sphere_d, "sphere_d") : written(visit);
}

/** @param {any} seen */
function comparison(seen) {
  if (seen.se_d == null) return nothing;
  return html`<p class="outcome"><span class="soft">${t.followUp.sphericalEquivalent}</span><br>
      <strong>${signed(seen.se_d, "refraction_d")}</strong></p>
    ${seen.error_text ? html`<p class="error" data-role="error">${seen.error_text}</p>` : nothing}
    ${seen.plan_error_text ? html`<p class="error">${seen.plan_error_text}</p>` : nothing}
    ${seen.counts ? nothing : html`<p class="soft">${t.followUp.notCountedAsOutcome(seen.why_not.join(" "))}</p>`}`;
}

const REASONS = { "Entered wrongly": t.followUp.enteredWrongly, "Another eye's visit": t.followUp.anotherEyesVisit, "Another reason": t.followUp.anotherReason };

/** @param {FollowUpView} view @param {any} visit */
function withdrawal(view, visit) {
  if (view.withdrawing !== visit.id) return html`<button type="button" class="quiet"
    @click=${() => view.startWithdrawing(visit.id)}>${t.followUp.withdrawVisit}</button>`;
  return html`<div class="stack">
    <gl-choice label=${t.followUp.whyWithdraw} path="withdraw.reason" local .options=${REASONS} .value=${view.withdrawReason}></gl-choice>
    <gl-hold danger label=${t.followUp.withdrawVisit} ?disabled=${!view.withdrawReason} @confirm=${() => view.withdraw(visit.id)}></gl-hold>
    <button type="button" class="quiet" @click=${() => view.startWithdrawing(null)}>${t.followUp.keep}</button></div>`;
}
