/** The aphakic reading: its fields, and both routes to the lens power. */
import { html, nothing } from "lit";
import { plain, range, signed } from "../../elements/format.js";
import { choice, number } from "../stage/fields.js";
import { valueAt } from "../stage/records.js";

/** @typedef {import("../stage/fields.js").CaseHolder & EventTarget} Holder */

/** @type {Record<string, string[]>} */
const INPUTS = { equivalent: ["refraction_d"], spherocylinder: ["sphere_d", "cylinder_d", "axis_deg"], meridians: ["meridian_1_d", "meridian_2_d"] };
/** @type {Record<string, {field: string, label?: string}>} */
const OPTIONS = {
  refraction_d: { field: "aphakic_refraction_d", label: "Spherical equivalent" },
  sphere_d: { field: "aphakic_refraction_d", label: "Sphere" },
  cylinder_d: { field: "cylinder_d" },
  axis_deg: { field: "axis_deg" },
  meridian_1_d: { field: "aphakic_refraction_d", label: "First meridian" },
  meridian_2_d: { field: "aphakic_refraction_d", label: "Second meridian" },
};

/** @param {Holder} view */
export function aphakicCard(view) {
  return html`<gl-card heading="Aphakic reading" note="Before the lens is in, of an eye without a lens: a second route to the power.">
    <div class="fields">${aphakicFields(view)}</div></gl-card>`;
}

/** The fields, each shown once the one before says that it is wanted. @param {Holder} view */
export function aphakicFields(view) {
  const instrument = valueAt(view.case, "aphakic.instrument");
  const form = valueAt(view.case, "aphakic.form");
  const retinoscope = instrument === "retinoscope";
  return html`${choice(view, "aphakic.instrument", { field: "instrument", label: "Read with" })}
    ${instrument ? choice(view, "aphakic.form", { field: "aphakic_form" }) : nothing}
    ${instrument && form ? html`<div class="pairs">${INPUTS[form].map((key) => number(view, `aphakic.${key}`, OPTIONS[key]))}</div>
      <div class="pairs">${number(view, "aphakic.vertex_mm")} ${retinoscope ? number(view, "aphakic.working_distance_m") : nothing}</div>
      ${retinoscope ? html`<p class="hint">Enter the lenses that neutralise, as held, with the working distance. Leave the distance empty
        only if it was already taken off.</p>` : nothing}` : nothing}`;
}

/** @param {any} route from the core's plan @param {(path: string) => void} goTo */
export function routeSection(route, goTo) {
  if (!route) return nothing;
  if (!route.used) return html`<section data-role="routes"><h3>Two routes to the power</h3>
    <gl-banner kind="caution" heading="The aphakic reading is not used">${route.why_not}
      ${route.field ? html`<button type="button" class="link" @click=${() => goTo(route.field)}>Go to the field</button>` : nothing}</gl-banner></section>`;
  const { disagreement } = route;
  return html`<section data-role="routes"><h3>Two routes to the power</h3>
    <gl-banner kind=${disagreement.recheck ? "stop" : "done"} heading=${route.headline}>The eye reads
      ${signed(route.aphakic_refraction_d, "aphakic_refraction_d")}; biometry expects ${signed(route.expected_refraction_d, "aphakic_refraction_d")} (at 12 mm).
      ${disagreement.recheck ? explanations(route.would_explain) : nothing}</gl-banner>
    <table><thead><tr><th scope="col">Route</th><th scope="col">For target</th><th scope="col">80 %</th></tr></thead><tbody>
      ${row("1 Biometry", route.biometry)} ${row("2 Aphakic reading", route.aphakic)} ${row("Both", route.combined)}</tbody></table>
    ${disagreement.recheck ? nothing : html`<details><summary>What would explain the difference</summary>${explanations(route.would_explain)}</details>`}
    <p class="hint">The plan uses both. The base formula's lens position is in both routes, so it cannot tell them apart.</p></section>`;
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
