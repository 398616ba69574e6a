/** On an eye whose haptics were handled: the lens that went in leaves the box, and can come back. */
import { html, nothing } from "lit";
import { signed, when } from "../../elements/format.js";
import { valueAt } from "../stage/records.js";

/** @typedef {import("./at-hand.js").AtHand} AtHand */
/** @typedef {import("../../store/box.js").Row} Row */

/**
 * @param {{case: Record<string, any> | null, atHand: AtHand, boxFault: string}} view
 */
export function implantedLens(view) {
  const { content } = view.atHand;
  const power = valueAt(view.case, "lens.lens_power_d");
  if (!content || power === null || !(view.case?.haptic_log ?? []).length) return nothing;
  const taken = content.used.find((one) => one.code === view.case?.code);
  const fitting = content.rows.filter((row) => row.lens_power_d === power && row.lens_count > 0);
  if (!taken && !fitting.length) return nothing;
  return html`<section class="stack" aria-label="The lens and the box" data-role="implanted">
    <h3>The lens and the box</h3>
    ${taken ? returned(view, taken) : fitting.map((row) => takeOut(view, row))}
    ${view.boxFault ? html`<gl-banner kind="stop">${view.boxFault}</gl-banner>` : nothing}</section>`;
}

/** @param {{case: Record<string, any> | null, atHand: AtHand, boxFault: string}} view @param {import("../../store/box.js").Used} taken */
function returned(view, taken) {
  const words = `${nameOf(taken.row)} put back`;
  return html`<p>${nameOf(taken.row)} was taken out of the box for this eye, ${when(taken.at)}. ${taken.row.lens_count} left.</p>
    <button type="button" @click=${() => saved(view, view.atHand.box?.putBack(words, taken.id))}>Put it back into the box</button>`;
}

/** @param {{case: Record<string, any> | null, atHand: AtHand, boxFault: string}} view @param {Row} row */
function takeOut(view, row) {
  const code = view.case?.code;
  return html`<p>${nameOf(row)}: ${row.lens_count} in the box${row.expires_on ? `, last day ${row.expires_on}` : ""}. Was it implanted?</p>
    <button type="button" @click=${() => saved(view, view.atHand.box?.use(`${nameOf(row)} taken out for ${code}`, row.id, code))}>
      Take one ${signed(row.lens_power_d, "lens_power_d")} out of the box</button>`;
}

/** @param {Row} row */
function nameOf(row) {
  const power = signed(row.lens_power_d, "lens_power_d");
  return row.lens_name ? `${power}, ${row.lens_name}` : power;
}

/** @param {{boxFault: string}} view @param {Promise<void> | undefined} change */
async function saved(view, change) {
  try {
    await change;
    view.boxFault = "";
  } catch (reason) {
    view.boxFault = `Not saved. ${/** @type {Error} */ (reason).message}`;
  }
}
