/** What else a visit may have measured: keratometry, lens position with its definition, sutures, flanges. */
import { html, nothing } from "lit";
import { fieldOf } from "../../elements/format.js";
import { localAxis, localChoice, localNumber } from "../stage/local-inputs.js";
import { t } from "../../words/words.js";

/** @typedef {import("./follow-up-view.js").FollowUpView} FollowUpView */

/** Keys of the visit that are stored as they were entered. */
export const FINDINGS = [
  "k_unit", "k1_d", "k2_d", "k2_axis_deg", "r1_mm", "r2_mm", "optic_depth_mm", "optic_depth_from", "tilt_deg",
  "tilt_axis_deg", "decentre_mm", "decentre_axis_deg", "tilt_reference", "pose_device", "sutures", "flange_check",
];

/** @param {FollowUpView} view */
export function moreFindings(view) {
  const { visit } = view;
  return html`<details ?open=${FINDINGS.some((key) => visit.values[key] != null)}>
      <summary>${t.followUp.keratometryLensPosition}</summary>
      <div class="fields">${cornea(view)} ${position(view)}</div></details>
    ${localChoice(view, visit, "sutures")}
    ${localChoice(view, visit, "flange_check", { hint: t.followUp.lidsHeldApartBoth })}`;
}

/** @param {FollowUpView} view */
function cornea(view) {
  const { visit } = view;
  const keys = { d: ["k1_d", "k2_d"], mm: ["r1_mm", "r2_mm"] }[/** @type {"d" | "mm"} */ (visit.values.k_unit)];
  return html`${localChoice(view, visit, "k_unit")}
    ${keys ? html`<div class="pairs">${keys.map((key) => localNumber(view, visit, key))}</div>
      ${localAxis(view, visit, "k2_axis_deg")}` : nothing}`;
}

/** @param {FollowUpView} view */
function position(view) {
  const { visit } = view;
  const { optic_depth_mm: depth, tilt_deg: tilt, decentre_mm: off } = visit.values;
  const any = depth != null || tilt != null || off != null;
  return html`${localNumber(view, visit, "optic_depth_mm")}
    ${depth == null ? nothing : localChoice(view, visit, "optic_depth_from")}
    <div class="pairs">${localNumber(view, visit, "tilt_deg")} ${localNumber(view, visit, "tilt_axis_deg")}</div>
    <div class="pairs">${localNumber(view, visit, "decentre_mm")} ${localNumber(view, visit, "decentre_axis_deg")}</div>
    ${tilt == null && off == null ? nothing : localChoice(view, visit, "tilt_reference")}
    ${any ? localChoice(view, visit, "pose_device") : nothing}`;
}

/** Definitions without which the numbers mean nothing. @param {import("../stage/local-form.js").Values} values @returns {string[]} */
export function lackingDefinitions(values) {
  return [
    ...(values.optic_depth_mm != null && !values.optic_depth_from ? [t.followUp.whereLensDepthBegins] : []),
    ...((values.tilt_deg != null || values.decentre_mm != null) && !values.tilt_reference ? [t.followUp.whatTiltMeasuredAgainst] : []),
  ];
}

/** Day and treatment of each complication that was chosen. @param {FollowUpView} view */
export function complicationDetails(view) {
  const { visit } = view;
  const chosen = /** @type {string[]} */ (visit.values.complications ?? []);
  return chosen.map((word) => html`<section class="detail" data-detail=${word}>
    <h4>${fieldOf("complications").choices[word]}</h4>
    ${localNumber(view, visit, `day_${word}`, { field: "days_after", label: t.followUp.noticedDay, hint: t.followUp.emptyDayVisit })}
    ${localChoice(view, visit, `treatment_${word}`, { field: "treatment" })}</section>`);
}

/** @param {import("../stage/local-form.js").Values} values */
export function detailRows(values) {
  const chosen = /** @type {string[]} */ (values.complications ?? []);
  return chosen.map((word) => ({
    complication: word, days_after: values[`day_${word}`] ?? null, treatment: values[`treatment_${word}`] ?? null,
  }));
}
