/** On an eye whose haptics were handled: the lens that went in leaves the box, and can come back. */
import { html, nothing } from "lit";
import { day, signed, when } from "../../elements/format.js";
import { valueAt } from "../stage/records.js";
import { t } from "../../words/words.js";

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
  return html`<section class="stack" aria-label=${t.box.lensBox} data-role="implanted">
    <h3>${t.box.lensBox}</h3>
    ${taken ? returned(view, taken) : fitting.map((row) => takeOut(view, row))}
    ${view.boxFault ? html`<gl-banner kind="stop">${view.boxFault}</gl-banner>` : nothing}</section>`;
}

/** @param {{case: Record<string, any> | null, atHand: AtHand, boxFault: string}} view @param {import("../../store/box.js").Used} taken */
function returned(view, taken) {
  const words = t.box.putBack(nameOf(taken.row));
  return html`<p>${t.box.wasTakenOutBox(nameOf(taken.row), when(taken.at), taken.row.lens_count)}</p>
    <button type="button" @click=${() => saved(view, view.atHand.box?.putBack(words, taken.id))}>${t.box.putBackIntoBox}</button>`;
}

/** @param {{case: Record<string, any> | null, atHand: AtHand, boxFault: string}} view @param {Row} row */
function takeOut(view, row) {
  const code = view.case?.code;
  return html`<p>${t.box.boxWasImplanted(nameOf(row), row.lens_count, row.expires_on ? t.box.lastDay(day(row.expires_on)) : "")}</p>
    <button type="button" @click=${() => saved(view, view.atHand.box?.use(t.box.takenOut(nameOf(row), code), row.id, code))}>
      ${t.box.takeOneOutBox(signed(row.lens_power_d, "lens_power_d"))}</button>`;
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
    view.boxFault = t.box.notSaved(/** @type {Error} */ (reason).message);
  }
}
