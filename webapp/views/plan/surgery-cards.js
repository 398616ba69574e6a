/** Input cards about the surgery: lens, target, fixation. */
import { html } from "lit";
import { hapticNames } from "../stage/clock.js";
import { axis, choice, flag, number } from "../stage/fields.js";
import { valueAt } from "../stage/records.js";
import { rich } from "../../words/rich.js";
import { t } from "../../words/words.js";

/** @typedef {import("../stage/fields.js").CaseHolder & EventTarget} Holder */

/** @param {Holder} view */
export function lensCard(view) {
  return html`<gl-card heading=${t.plan.lens4}>
    <div class="fields">
      <gl-line field="lens_name" path="lens.lens_name" .value=${valueAt(view.case, "lens.lens_name")}
        .draft=${view.drafts?.["lens.lens_name"] ?? null}></gl-line>
      ${number(view, "lens.lens_power_d")} ${number(view, "lens.a")}
    </div>
    <details>
      <summary>${t.plan.otherConstantsSizesFrom}</summary>
      <p class="hint">${t.plan.constantLeftEmptyDerived}</p>
      <div class="fields">
        ${number(view, "lens.pacd_mm")} ${number(view, "lens.surgeon_factor_mm")}
        ${number(view, "lens.a0")} ${number(view, "lens.a1")} ${number(view, "lens.a2")}
        ${number(view, "lens.lens_length_mm")} ${number(view, "lens.optic_diameter_mm")}
        ${number(view, "lens.haptic_length_mm")}
      </div>
    </details>
  </gl-card>`;
}

/** @param {Holder} view */
export function targetCard(view) {
  return html`<gl-card heading=${t.plan.target3}>
    <div class="fields">
      <div class="pairs">${number(view, "plan.target_d")} ${number(view, "plan.fellow_se_d")}</div>
      ${choice(view, "plan.formula")}
    </div>
  </gl-card>`;
}

/**
 * @param {Holder} view
 * @param {{a: string, b: string} | null} clocks from the core's plan
 */
export function fixationCard(view, clocks) {
  const { a, b } = hapticNames(clocks);
  return html`<gl-card heading=${t.plan.fixation}>
    <div class="fields">
      <div>${axis(view, "plan.meridian_deg")}
        ${clocks ? html`<p class="clocks">${rich(t.plan.haptics(a, b), { strong: (words) => html`<strong>${words}</strong>`, strong2: (words) => html`<strong>${words}</strong>` })}</p>`
          : html`<p class="hint">${t.plan.clockHoursAppearHere}</p>`}
      </div>
      ${choice(view, "plan.seat")}
      ${sides(view, "entry", a, b)} ${sides(view, "tunnel", a, b)}
      <div class="pairs">${number(view, "plan.melt_mm")} ${number(view, "plan.bury_mm")}</div>
      ${number(view, "plan.drawn_out_mm")}
      ${flag(view, "plan.iridectomy_planned")}
    </div>
  </gl-card>`;
}

/**
 * One quantity for each haptic, named by clock hour as soon as the core knows it.
 * @param {Holder} view @param {"entry" | "tunnel"} name
 * @param {string} a @param {string} b
 */
function sides(view, name, a, b) {
  const word = name === "entry" ? t.plan.entry : t.plan.tunnel;
  return html`<div class="pairs">
    ${number(view, `plan.${name}_a_mm`, { field: `${name}_mm`, label: `${word}, ${a}` })}
    ${number(view, `plan.${name}_b_mm`, { field: `${name}_mm`, label: `${word}, ${b}` })}
  </div>`;
}
