/** A reading before the lens is in: its fields, and the power by each route. */
import { html, nothing } from "lit";
import { plain, range, signed } from "../../elements/format.js";
import { aphakicFields } from "../plan/second-route.js";
import { withState } from "../stage/status.js";
import { t } from "../../words/words.js";

/** @typedef {import("./theatre-view.js").TheatreView} TheatreView */

const POWER = "lens_power_d";

/** @param {TheatreView} view */
export function aphakicStep(view) {
  return html`<p class="say">${t.hands.beforeLensSay}</p>
    ${withState(view.plan, () => routes(view, view.plan.value.second_route))}
    <div class="entry">${aphakicFields(view)}</div>`;
}

/** @param {TheatreView} view @param {any} route from the core's plan */
function routes(view, route) {
  if (!route) return nothing;
  if (!route.used) return html`<gl-banner kind="info" heading=${t.hands.notUsed} data-role="routes">${route.why_not}</gl-banner>`;
  const expected = signed(route.expected_refraction_d, "aphakic_refraction_d");
  const { recheck } = route.disagreement;
  return html`<gl-banner kind=${recheck ? "stop" : "done"} heading=${route.headline} data-role="routes">
      ${t.hands.lensOutAgain(signed(route.aphakic_refraction_d, "aphakic_refraction_d"), expected)}
      ${recheck ? html`<p>${route.would_explain[0]?.message}</p>` : nothing}</gl-banner>
    <dl class="big-facts">
      <dt>${t.hands.biometry}</dt><dd class="value">${plain(route.biometry.power_d, POWER)}</dd>
      <dt>${t.hands.aphakic}</dt><dd class="value">${plain(route.aphakic.power_d, POWER)}</dd>
      <dt>${t.hands.both}</dt><dd>${range(route.combined.low80_d, route.combined.high80_d, POWER)}</dd></dl>
    <a class="button wide" href=${`#/eye/${view.case?.code}/plan`}>${t.hands.toPlan}</a>`;
}
