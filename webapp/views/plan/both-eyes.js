/** The other eye of the same person: found by the person's code, its measurements beside these. */
import { html, nothing } from "lit";
import { plain } from "../../elements/format.js";
import { wordFor } from "../stage/fields.js";

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
  return html`<section data-role="both-eyes"><h3>Both eyes, measurements only</h3>
    <table><thead><tr><th scope="col">Measured</th><th scope="col">${wordFor("eye", record.eye)} (this eye)</th><th scope="col">${wordFor("eye", fellow.eye)}</th></tr></thead>
      <tbody>${rows.map((key) => html`<tr><th scope="row">${plainLabel(key)}</th><td>${plain(here[key], key)}</td><td>${plain(there[key], key)}</td></tr>`)}</tbody></table>
    <p class="hint">Large differences are listed under Findings.</p></section>`;
}

/** @type {Record<string, string>} */
const LABELS = { axial_length_mm: "Axial length", k1_d: "K flat", k2_d: "K steep", r1_mm: "Radius flat", r2_mm: "Radius steep",
  k2_axis_deg: "Steep axis", phakic_acd_mm: "Chamber depth", limbus_horizontal_mm: "Limbus, horizontal", limbus_vertical_mm: "Limbus, vertical" };

/** @param {string} key */
const plainLabel = (key) => LABELS[key];
