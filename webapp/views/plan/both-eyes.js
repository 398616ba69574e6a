/** The other eye of the same person: found by the person's code, its measurements beside these. */
import { html, nothing } from "lit";
import { plain } from "../../elements/format.js";
import { wordFor } from "../stage/fields.js";
import { t } from "../../words/words.js";

/** @typedef {Record<string, any>} Case */

/**
 * @param {import("../../store/store.js").Store | null} store @param {Case} record
 * @returns {Promise<Case | null>}
 */
export async function fellowOf(store, record) {
  if (!store || !record.person) return null;
  const eyes = await store.list();
  return eyes.find((one) => one.person === record.person && one.code !== record.code && Boolean(one.demo) === Boolean(record.demo)) ?? null;
}

const ROWS = ["axial_length_mm", "k1_d", "k2_d", "r1_mm", "r2_mm", "k2_axis_deg", "phakic_acd_mm", "limbus_horizontal_mm", "limbus_vertical_mm"];

/** Measurements only: powers and plans are one eye a screen. @param {Case | null} record @param {Case | null} fellow */
export function bothEyes(record, fellow) {
  if (!record || !fellow) return nothing;
  const [here, there] = [record.measurements ?? {}, fellow.measurements ?? {}];
  const rows = ROWS.filter((key) => here[key] != null || there[key] != null);
  return html`<section data-role="both-eyes"><h3>${t.plan.bothEyesMeasurementsOnly}</h3>
    <div class="scroll" tabindex="0" role="region" aria-label=${t.plan.measured}><table><thead><tr><th scope="col">${t.plan.measured}</th><th scope="col">${t.plan.eye(wordFor("eye", record.eye))}</th><th scope="col">${wordFor("eye", fellow.eye)}</th></tr></thead>
      <tbody>${rows.map((key) => html`<tr><th scope="row">${plainLabel(key)}</th><td>${plain(here[key], key)}</td><td>${plain(there[key], key)}</td></tr>`)}</tbody></table></div>
    <p class="hint">${t.plan.largeDifferencesListedUnder}</p></section>`;
}

/** @type {Record<string, string>} */
const LABELS = { axial_length_mm: t.plan.axialLength, k1_d: t.plan.kFlat, k2_d: t.plan.kSteep, r1_mm: t.plan.radiusFlat, r2_mm: t.plan.radiusSteep,
  k2_axis_deg: t.plan.steepAxis, phakic_acd_mm: t.plan.chamberDepth, limbus_horizontal_mm: t.plan.limbusHorizontal, limbus_vertical_mm: t.plan.limbusVertical };

/** @param {string} key */
const plainLabel = (key) => LABELS[key];
