/** The visits so far: what was found, and how it compares with what was predicted. */
import { html, nothing } from "lit";
import { plain, signed } from "../../elements/format.js";
import { wordFor } from "../stage/fields.js";
import { complicationWords, written } from "./visit_form.js";

/** @typedef {import("./follow_up_view.js").FollowUpView} FollowUpView */

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
    <p class="visit-head"><strong>${visit.on}</strong> ${seen?.days == null ? nothing : html`<span>day ${seen.days}</span>`}</p>
    ${visit.withdrawn ? html`<p>Withdrawn: ${visit.withdrawn.reason}</p>` : html`
      ${seen ? comparison(seen) : nothing}
      <dl class="facts">
        ${visit.sphere_d == null ? nothing : html`<dt>${wordFor("refraction_method", visit.refraction_method)}</dt>
          <dd>${seen?.minus_text ?? asWritten(visit)}</dd>
          ${seen?.plus_text ? html`<dt>Plus-cylinder form</dt><dd>${seen.plus_text}</dd>` : nothing}`}
        ${fact("Uncorrected acuity", visit.udva_logmar, "udva_logmar")}
        ${fact("Corrected acuity", visit.cdva_logmar, "cdva_logmar")}
        ${fact("IOP", visit.iop_mmhg, "iop_mmhg")}
      </dl>
      <p class="complication-words"><span class="soft">Complications:</span> ${complicationWords(visit.complications)}</p>
      ${withdrawal(view, visit)}`}`;
}

/** @param {any} visit @returns {string} */
function asWritten(visit) {
  return visit.cylinder_d == null ? signed(visit.sphere_d, "sphere_d") : written(visit);
}

/** @param {string} word @param {number | null} value @param {string} field */
function fact(word, value, field) {
  return value == null ? nothing : html`<dt>${word}</dt><dd>${plain(value, field)}</dd>`;
}

/** @param {any} seen */
function comparison(seen) {
  if (seen.se_d == null) return nothing;
  return html`<p class="outcome"><strong>${signed(seen.se_d, "refraction_d")}</strong></p>
    ${seen.error_text ? html`<p data-role="error">${seen.error_text}</p>`
      : difference("predicted after the readings", seen.error_d)}
    ${seen.plan_error_text ? html`<p>${seen.plan_error_text}</p>` : difference("planned", seen.plan_error_d)}`;
}

/** The sign in words. @param {string} than @param {number | null | undefined} error_d */
function difference(than, error_d) {
  if (error_d == null) return nothing;
  const word = error_d < 0 ? "more myopic" : "more hyperopic";
  return html`<p data-role="error"><strong>${signed(error_d, "refraction_d")}</strong>: ${error_d === 0 ? "as" : `${word} than`} ${than}</p>`;
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
