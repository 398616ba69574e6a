/** The visits so far: what was found, and how it compares with what was predicted. */
import { html, nothing } from "lit";
import { signed } from "../../elements/format.js";
import { fact } from "../stage/facts.js";
import { wordFor } from "../stage/fields.js";
import { written } from "./visit-form.js";

/** @typedef {import("./follow-up-view.js").FollowUpView} FollowUpView */

/** @param {FollowUpView} view */
export function visitList(view) {
  const stored = /** @type {any[]} */ (view.case?.follow_ups ?? []);
  if (stored.length === 0) return html`<p>No visits yet.</p>`;
  return html`<ol class="visits">${stored.map((visit) => html`<li data-visit=${visit.id}
    class=${visit.withdrawn ? "gone" : ""}>${visitRow(view, visit)}</li>`)}</ol>`;
}

/** @param {FollowUpView} view @param {any} visit */
function visitRow(view, visit) {
  const seen = view.followUp.value?.visits?.find((/** @type {any} */ one) => one.id === visit.id);
  return html`
    <p class="visit-head"><strong>${visit.on}</strong> ${seen?.days == null ? nothing : html`<span>day ${seen.days}${seen.label ? html`<br><small>${seen.label}${seen.late_days ? `, ${seen.late_days} d late` : ""}</small>` : nothing}</span>`}</p>
    ${visit.withdrawn ? html`<p>Withdrawn: ${visit.withdrawn.reason}</p>` : html`
      ${seen ? comparison(seen) : nothing}
      <dl class="facts">
        ${visit.sphere_d == null ? nothing : html`
          ${fact(wordFor("refraction_method", visit.refraction_method), seen?.minus_text ?? asWritten(visit))}
          ${seen?.plus_text ? fact("Plus-cylinder form", seen.plus_text) : nothing}
          ${seen?.words ? html`<div><dt class="unseen">In words</dt><dd class="words">${seen.words}</dd></div>` : nothing}`}
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
  return html`<p class="outcome"><span class="soft">Spherical equivalent</span><br>
      <strong>${signed(seen.se_d, "refraction_d")}</strong></p>
    ${seen.error_text ? html`<p class="error" data-role="error">${seen.error_text}</p>` : nothing}
    ${seen.plan_error_text ? html`<p class="error">${seen.plan_error_text}</p>` : nothing}
    ${seen.counts ? nothing : html`<p class="soft">Not counted as the outcome: ${seen.why_not.join(" ")}</p>`}`;
}

const REASONS = { "Entered wrongly": "Entered wrongly", "Another eye's visit": "Another eye’s visit", "Another reason": "Another reason" };

/** @param {FollowUpView} view @param {any} visit */
function withdrawal(view, visit) {
  if (view.withdrawing !== visit.id) return html`<button type="button" class="quiet"
    @click=${() => view.startWithdrawing(visit.id)}>Withdraw this visit</button>`;
  return html`<div class="stack">
    <gl-choice label="Why withdraw it?" path="withdraw.reason" local .options=${REASONS} .value=${view.withdrawReason}></gl-choice>
    <gl-hold danger label="Withdraw this visit" ?disabled=${!view.withdrawReason} @confirm=${() => view.withdraw(visit.id)}></gl-hold>
    <button type="button" class="quiet" @click=${() => view.startWithdrawing(null)}>Keep it</button></div>`;
}
