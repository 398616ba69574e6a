/** Input cards about the eye: history and measurements. */
import { html, nothing } from "lit";
import { axis, choice, number, wordFor } from "../stage/fields.js";
import { commit, valueAt } from "../stage/records.js";
import { bothEyes } from "./both-eyes.js";
import "../dicom/dicom-card.js";
import { giveWay } from "../dicom/give-way.js";
import "./measured-otherwise.js";
import { t } from "../../words/words.js";

/** @typedef {import("../stage/fields.js").CaseHolder & EventTarget} Holder */

/** @param {Holder} view */
export function eyeCard(view) {
  return html`<gl-card heading=${t.plan.eyeHistory}>
    <div class="fields">
      ${operated(view.case) ? fixedEye(view.case) : choice(view, "eye")} ${number(view, "history.age_years")} ${choice(view, "history.sex")}
      ${choice(view, "history.indication")} ${choice(view, "history.cornea")} ${choice(view, "history.vitreous")}
    </div>
  </gl-card>`;
}

const THEATRE = ["readings", "haptic_log", "decisions", "follow_ups"];

/** Whether anything was done in theatre or after it. @param {Record<string, any> | null} record */
function operated(record) {
  return THEATRE.some((section) => record?.[section]?.length);
}

/** One tap must not move what was done to the other eye. @param {Record<string, any> | null} record */
function fixedEye(record) {
  return html`<div data-role="eye-fixed">
    <p><strong>${wordFor("eye", record?.eye)}</strong></p>
    <p class="hint">${t.plan.eyeCannotChangedOnce}</p>
  </div>`;
}

/** @param {Holder} view @param {Record<string, any> | null} fellow the other eye of the same person */
export function measurementCard(view, fellow) {
  return html`<gl-card heading=${t.plan.measurements}>
    <div class="fields">
      ${number(view, "measurements.axial_length_mm")} ${choice(view, "measurements.axial_method")}
      ${keratometry(view)} ${choice(view, "measurements.keratometry_method")}
      ${axis(view, "measurements.k2_axis_deg")} ${number(view, "measurements.phakic_acd_mm")}
      <div class="pairs">
        ${number(view, "measurements.limbus_horizontal_mm")} ${number(view, "measurements.limbus_vertical_mm")}
      </div>
    </div>
    <gl-measured-otherwise .case=${view.case} .drafts=${view.drafts ?? null} .fellow=${fellow}></gl-measured-otherwise>
    <gl-dicom-card place="plan" .eye=${view.case?.eye ?? null} .values=${view.case?.measurements ?? {}}
      @taken=${(/** @type {CustomEvent} */ event) => takeMeasured(view, event.detail.values)}></gl-dicom-card>
    ${bothEyes(view.case, fellow)}
  </gl-card>`;
}

/** One accepted candidate in one step, so that one undo takes it back. @param {Holder} view @param {Record<string, any>} values */
function takeMeasured(view, values) {
  giveWay(view, "measurements", values);
  return commit(view, "measurements", { ...view.case?.measurements, ...values });
}

const UNITS = { d: t.plan.powerD, mm: t.plan.radiusMm };

/**
 * Powers and radii are different inputs: what was read is entered, nothing is converted here.
 * @param {Holder} view
 */
function keratometry(view) {
  const unit = valueAt(view.case, "measurements.k_unit");
  return html`
    <gl-choice label=${t.plan.corneaMeasuredAs} path="measurements.k_unit" .options=${UNITS} .value=${unit}></gl-choice>
    ${unit === "d" ? html`<div class="pairs">
      ${number(view, "measurements.k1_d")} ${number(view, "measurements.k2_d")}</div>` : nothing}
    ${unit === "mm" ? html`<div class="pairs">
      ${number(view, "measurements.r1_mm")} ${number(view, "measurements.r2_mm")}</div>` : nothing}
    ${unit === null ? html`<p class="hint">${t.plan.chooseHowCorneaWas}</p>` : nothing}`;
}
