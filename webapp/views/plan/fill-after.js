/** What fills the eye after surgery: asked, and answered with. */
import { html, nothing } from "lit";
import { plain, signed } from "../../elements/format.js";
import { choice, flag, number } from "../stage/fields.js";
import { valueAt } from "../stage/records.js";
import { t } from "../../words/words.js";

/** @typedef {import("../stage/fields.js").CaseHolder & EventTarget} Holder */

/** @param {Holder} view */
export function fillCard(view) {
  const medium = valueAt(view.case, "fill_after.medium");
  const filled = medium === "oil" || medium === "gas";
  return html`<gl-card heading=${t.plan.behindLensAfterSurgery}><div class="fields">
    ${choice(view, "fill_after.medium")}
    ${medium === "oil" ? flag(view, "fill_after.oil_stays") : nothing}
    ${filled ? html`${number(view, "fill_after.lens_index")} ${choice(view, "fill_after.lens_shape")}` : nothing}</div></gl-card>`;
}

/** @param {any} media from the core's plan */
export function mediaSection(media) {
  if (!media) return nothing;
  return html`<section data-role="media"><h3>${t.plan.eyeFilled}</h3>
    <gl-banner kind=${media.plan_for === "saline" ? "info" : "caution"}>${media.message}</gl-banner>
    ${media.shapes.length ? html`<div class="scroll" tabindex="0" role="region" aria-label=${t.plan.optic}><table><thead><tr><th scope="col">${t.plan.optic}</th><th scope="col">${t.plan.refractionFilled}</th><th scope="col">${t.plan.powerTarget}</th></tr></thead>
      <tbody>${media.shapes.map((/** @type {any} */ one) => html`<tr><th scope="row">${one.label}</th>
        <td>${signed(one.refraction_d, "refraction_d")}</td><td>${plain(one.power_for_target_d, "lens_power_d")}</td></tr>`)}</tbody></table></div>` : nothing}</section>`;
}
