/** The aphakic reading: its fields, and both routes to the lens power. */
import { html, nothing } from "lit";
import { plain, range, signed } from "../../elements/format.js";
import { choice, number } from "../stage/fields.js";
import { valueAt } from "../stage/records.js";
import { t } from "../../words/words.js";

/** @typedef {import("../stage/fields.js").CaseHolder & EventTarget} Holder */

/** @type {Record<string, string[]>} */
const INPUTS = { equivalent: ["refraction_d"], meridians: ["meridian_1_d", "meridian_2_d"] };
/** @type {Record<string, {field: string, label?: string}>} */
const OPTIONS = {
  refraction_d: { field: "aphakic_refraction_d", label: t.plan.sphericalEquivalent },
  meridian_1_d: { field: "aphakic_refraction_d", label: t.plan.firstMeridian },
  meridian_2_d: { field: "aphakic_refraction_d", label: t.plan.secondMeridian },
};

/** @param {Holder} view */
export function aphakicCard(view) {
  return html`<gl-card heading=${t.plan.aphakicReading} note=${t.plan.beforeLensEyeWithout}>
    <div class="fields">${aphakicFields(view)}</div></gl-card>`;
}

/** The fields, each shown once the one before says that it is wanted. @param {Holder} view */
export function aphakicFields(view) {
  const instrument = valueAt(view.case, "aphakic.instrument");
  const form = valueAt(view.case, "aphakic.form");
  const retinoscope = instrument === "retinoscope";
  return html`${choice(view, "aphakic.instrument", { field: "instrument", label: t.plan.read })}
    ${instrument ? choice(view, "aphakic.form", { field: "aphakic_form" }) : nothing}
    ${instrument && form ? html`${INPUTS[form] ? html`<div class="pairs">${INPUTS[form].map((key) => number(view, `aphakic.${key}`, OPTIONS[key]))}</div>`
        : html`<gl-aphakic-cylinder .case=${view.case} .drafts=${view.drafts ?? null}></gl-aphakic-cylinder>`}
      <div class="pairs">${number(view, "aphakic.vertex_mm")} ${retinoscope ? number(view, "aphakic.working_distance_m") : nothing}</div>
      ${retinoscope ? html`<p class="hint">${t.plan.enterLensesNeutraliseAs}</p>` : nothing}` : nothing}`;
}

/** @param {any} route from the core's plan @param {(path: string) => void} goTo */
export function routeSection(route, goTo) {
  if (!route) return nothing;
  if (!route.used) return html`<section data-role="routes"><h3>${t.plan.twoRoutesPower}</h3>
    <gl-banner kind="caution" heading=${t.plan.aphakicReadingNotUsed}>${route.why_not}
      ${route.field ? html`<button type="button" class="link" @click=${() => goTo(route.field)}>${t.plan.goField}</button>` : nothing}</gl-banner></section>`;
  const { disagreement } = route;
  return html`<section data-role="routes"><h3>${t.plan.twoRoutesPower}</h3>
    <gl-banner kind=${disagreement.recheck ? "stop" : "done"} heading=${route.headline}>${t.plan.eyeReadsBiometryExpects(signed(route.aphakic_refraction_d, "aphakic_refraction_d"), signed(route.expected_refraction_d, "aphakic_refraction_d"))}
      ${disagreement.recheck ? explanations(route.would_explain) : nothing}</gl-banner>
    <div class="scroll" tabindex="0" role="region" aria-label=${t.plan.route}><table><thead><tr><th scope="col">${t.plan.route}</th><th scope="col">${t.plan.target2}</th><th scope="col">80 %</th></tr></thead><tbody>
      ${row(t.plan.biometry, route.biometry)} ${row(t.plan.aphakicReading2, route.aphakic)} ${row(t.plan.both, route.combined)}</tbody></table></div>
    ${disagreement.recheck ? nothing : html`<details><summary>${t.plan.whatWouldExplainDifference}</summary>${explanations(route.would_explain)}</details>`}
    <p class="hint">${t.plan.planUsesBothBase}</p></section>`;
}

const POWER = "lens_power_d";

/** @param {string} name @param {{power_d: number, low80_d: number, high80_d: number}} found */
function row(name, found) {
  return html`<tr><th scope="row">${name}</th><td>${plain(found.power_d, POWER)}</td><td>${range(found.low80_d, found.high80_d, POWER)}</td></tr>`;
}

/** @param {Array<{input: string, message: string}>} list likeliest first */
function explanations(list) {
  return html`<ul class="explain">${list.map((one) => html`<li>${one.message}</li>`)}</ul>`;
}
