/** Adding a visit: refraction as it was written down, acuity, IOP, complications. */
import { html, nothing } from "lit";
import { anyText, fieldOf, plain, signed } from "../../elements/format.js";
import "../dicom/dicom-card.js";
import { giveWay } from "../dicom/give-way.js";
import { localAxis, localChoice, localLine, localNumber } from "../stage/local-inputs.js";
import { stamp } from "../stage/records.js";
import { cylinderHint } from "../stage/typed-refraction.js";
import { today } from "../today.js";
import { KINDS, acuities, acuityEntry, openAcuities } from "./acuity.js";
import { FINDINGS, complicationDetails, detailRows, lackingDefinitions, moreFindings } from "./more-findings.js";
import { t } from "../../words/words.js";

/** @typedef {import("./follow-up-view.js").FollowUpView} FollowUpView */

/** @param {FollowUpView} view */
export function visitForm(view) {
  const { visit } = view;
  const left = lacking(view);
  return html`<gl-card heading=${t.followUp.addVisit}>
    <gl-dicom-card place="visit" .eye=${view.case?.eye ?? null} .values=${visit.values}
      @taken=${(/** @type {CustomEvent} */ event) => takeRead(view, event.detail.values)}></gl-dicom-card>
    <div class="fields">
      ${localLine(view, visit, "on")}
      ${localChoice(view, visit, "refraction_method")}
      <div class="pairs">
        ${localNumber(view, visit, "sphere_d")}
        ${localNumber(view, visit, "cylinder_d", { field: "cylinder_entered_d", hint: cylinderHint() })}
      </div>
      ${localAxis(view, visit, "axis_deg")}
      ${localNumber(view, visit, "vertex_mm")}
      <p class="hint">${t.followUp.cylinderPlusMinusForm}</p>
      ${view.refraction.render()}
      ${acuities(view)}
      ${localNumber(view, visit, "iop_mmhg")}
      ${moreFindings(view)}
    </div>
    ${complications(view)}
    ${left.length ? html`<p class="hint" role="status">${t.followUp.stillEnter(left.join(", "))}</p>` : nothing}
    ${visit.fault ? html`<gl-banner kind="stop">${visit.fault}</gl-banner>` : nothing}
    <button type="button" class="main wide" ?disabled=${left.length > 0 || visit.saving} @click=${() => save(view)}>${t.followUp.saveVisit}</button>
  </gl-card>`;
}

/** One accepted value of a file; its notation belongs to its text. @param {FollowUpView} view @param {Record<string, any>} values */
function takeRead(view, values) {
  giveWay(view, view.visit.name, values);
  const notations = KINDS.filter((kind) => `${kind}_notation` in values);
  view.visit.set({ ...values, ...Object.fromEntries(notations.map((kind) => [`${kind}_notation_of`, values[`${kind}_written`]])) });
}

/** @param {FollowUpView} view @returns {string[]} */
function lacking(view) {
  const { values } = view.visit;
  const written = hasRefraction(values);
  return [
    ...(values.on ? [] : [t.followUp.date]),
    ...(values.on && values.on > today() ? [t.followUp.dateNotFuture] : []),
    ...(written && values.sphere_d == null ? [t.followUp.sphere] : []),
    ...(values.cylinder_d && values.axis_deg == null ? [t.followUp.axis] : []),
    ...(written && !values.refraction_method ? [t.followUp.howWasRefracted] : []),
    ...(written && values.sphere_d != null && !view.refraction.minus ? [t.followUp.refractionMinusFormBeing] : []),
    ...openAcuities(view),
    ...lackingDefinitions(values),
    ...(flangesDue(view) && !values.flange_check ? [t.followUp.flanges] : []),
    ...(values.looked == null ? [t.followUp.complicationsAnyNone] : []),
    ...(values.looked === "some" && !values.complications?.length ? [t.followUp.whichComplications] : []),
  ];
}

/** A visit within the yearly checks looks at the flanges. @param {FollowUpView} view @returns {boolean} */
function flangesDue(view) {
  const from = view.followUp.value?.flanges_from;
  return Boolean(from && view.visit.values.on >= from);
}

/** @param {import("../stage/local-form.js").Values} values @returns {boolean} */
function hasRefraction(values) {
  return values.sphere_d != null || values.cylinder_d != null;
}

/** @param {{sphere_d: number, cylinder_d: number, axis_deg: number}} found @returns {string} */
export function written({ sphere_d, cylinder_d, axis_deg }) {
  return `${signed(sphere_d, "sphere_d")} / ${signed(cylinder_d, "cylinder_d")} × ${plain(axis_deg, "axis_deg")}`;
}

const LOOKED = { none: t.followUp.lookedNone, some: t.followUp.yes };

/** @param {FollowUpView} view */
function complications(view) {
  const { visit } = view;
  const chosen = /** @type {string[]} */ (visit.values.complications ?? []);
  return html`${localChoice(view, visit, "looked", { label: t.followUp.complications, options: LOOKED })}
    ${visit.values.looked === "some" ? html`<div class="complications" role="group" aria-label=${t.followUp.whichComplications2}>
      ${Object.entries(fieldOf("complications").choices).map(([key, word]) => {
        const on = chosen.includes(key);
        return html`<button type="button" aria-pressed=${on ? "true" : "false"} data-complication=${key}
          @click=${() => visit.set({ complications: on ? chosen.filter((one) => one !== key) : [...chosen, key] })}>
          ${on ? "✓ " : ""}${word}</button>`;
      })}</div>${complicationDetails(view)}` : nothing}`;
}

/** @param {FollowUpView} view */
function save(view) {
  const { values } = view.visit;
  const minus = hasRefraction(values) ? view.refraction.minus : null;
  const kept = (/** @type {string} */ key) => values[key] ?? null;
  return view.visit.save("follow_ups", {
    id: stamp().id,
    on: values.on,
    sphere_d: minus?.sphere_d ?? null,
    cylinder_d: minus?.cylinder_d ?? null,
    axis_deg: minus?.axis_deg ?? null,
    vertex_mm: minus ? kept("vertex_mm") : null,
    refraction_method: kept("refraction_method"),
    ...acuityEntry(view),
    ...Object.fromEntries(FINDINGS.map((key) => [key, kept(key)])),
    iop_mmhg: kept("iop_mmhg"),
    complications: values.looked === "some" ? values.complications : [],
    complication_details: values.looked === "some" ? detailRows(values) : [],
    withdrawn: null,
  });
}
