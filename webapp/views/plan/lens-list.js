/** The lenses of a plan: ranked, with what stands first and why, what breaks and what is missing. */
import { html, nothing } from "lit";
import { percent, plain, range, signed } from "../../elements/format.js";
import { fact } from "../stage/facts.js";
import { commit } from "../stage/records.js";

/** @typedef {import("../../charts/reach-chart.js").LensOutcome} LensOutcome */
/** @typedef {import("./result.js").PlanAnswer} PlanAnswer */
/** @typedef {{target: number | null, selected: string | null, select: (key: string | null) => void}} Ui */

/** @param {EventTarget} view @param {PlanAnswer} plan @param {Ui} ui */
export function lensList(view, plan, ui) {
  const shown = plan.lenses.find((lens) => lens.key === ui.selected) ?? null;
  return html`<section><h3>What each lens could still reach</h3>
    ${plan.box?.kinds ? html`<p class="hint">From your <a href="#/box">Box</a>${plan.box.not_shown ? html`; ${plan.box.not_shown} further from the target
      ${plan.box.not_shown === 1 ? "is" : "are"} not shown` : nothing}.</p>`
      : html`<p class="hint">Every half dioptre. ${plan.box ? "Nothing in your" : "List the lenses you have in the"} <a href="#/box">Box</a>${plan.box ? " can be used" : " to plan with those"}.</p>`}
    ${ranking(plan)}
    <p class="hint">Tap a lens for its numbers. Right: chance of ending within 0.50 D of target after titration with three aberrometer readings.</p>
    <gl-reach-chart .lenses=${named(plan)} .target=${ui.target} .selected=${ui.selected}
      @pick=${(/** @type {CustomEvent} */ event) => ui.select(event.detail.lens.key)}></gl-reach-chart>
    ${shown ? lensDetail(view, shown, ui) : nothing}
    ${missing(plan)} ${leftOut(plan)}
  </section>`;
}

/** First and second choice, why, and what is left if the first breaks. @param {PlanAnswer} plan */
function ranking(plan) {
  const { choice } = plan;
  if (!choice) return nothing;
  const label = (/** @type {string | null} */ key) => plan.lenses.find((lens) => lens.key === key)?.label ?? "none";
  return html`<dl class="facts" data-role="choice">
    ${fact("First choice", label(choice.first))} ${fact("Second", label(choice.second))}</dl>
    <p data-role="why">${unbroken(choice.why)}</p><p data-role="reserve">${unbroken(choice.if_it_breaks)}</p>`;
}

/** A number and its unit stay on one line. @param {string} words */
function unbroken(words) {
  return words.replace(/(\d) (D|%)/g, "$1\u00a0$2");
}

/** The chart's rows, each with what to write under its power. @param {PlanAnswer} plan @returns {LensOutcome[]} */
function named({ lenses, choice }) {
  const names = new Set(lenses.map((lens) => lens.fill?.lens_name ?? ""));
  const place = (/** @type {string | undefined} */ key) => (key === choice?.first ? "1st" : key === choice?.second ? "2nd" : "");
  return lenses.map((lens) => ({
    ...lens,
    under: [place(lens.key), lens.pieces ? `${lens.pieces} left` : ""].filter(Boolean).join(" · "),
    name: names.size > 1 ? lens.fill?.lens_name ?? "" : "",
  }));
}

/** @param {PlanAnswer} plan */
function missing(plan) {
  if (!plan.missing_powers?.length) return nothing;
  return html`<div data-role="missing-powers"><h4>Missing from the box</h4>
    ${plan.missing_powers.map((one) => html`<p>${unbroken(one.message)}</p>`)}</div>`;
}

/** @param {PlanAnswer} plan */
function leftOut(plan) {
  const list = plan.box?.left_out ?? [];
  if (!list.length) return nothing;
  return html`<details data-role="left-out"><summary>${list.length === 1 ? "1 lens of the box is not offered" : `${list.length} lenses of the box are not offered`}</summary>
    <ul>${list.map((one) => html`<li>${one.label}: ${one.why}</li>`)}</ul></details>`;
}

/** @param {EventTarget} view @param {LensOutcome} lens @param {Ui} ui */
function lensDetail(view, lens, ui) {
  const power = signed(lens.lens_power_d, "lens_power_d");
  return html`<div class="lens-detail" data-role="lens-detail">
    <h4>Lens ${lens.label ?? power}</h4>
    ${lens.note ? html`<gl-banner kind="caution">${lens.note}</gl-banner>` : nothing}
    <dl class="facts">
      ${lens.pieces ? fact("In the box", lens.pieces) : nothing}
      ${fact("Expected", signed(lens.mean_d, "refraction_d"))}
      ${fact("80 %", range(lens.low80_d, lens.high80_d, "refraction_d"))}
      ${fact("Within 0.50 D, no titration", percent(lens.within_050))}
      ${fact("Within 0.50 D, after titration", percent(lens.titrated_within_050))}
      ${lens.reach.map((end, index) => fact(
        `${index === 0 ? "Nothing cut" : "Drawn out"}, ${plain(end.outside_mm, "outside_mm")} outside`,
        signed(end.mean_d, "refraction_d")))}
    </dl>
    ${lens.fill && !lens.chosen ? html`<p class="hint">Choosing it writes its power, name, constants and sizes from the box into this eye.</p>` : nothing}
    <div class="actions">
      <button type="button" class="quiet" @click=${() => ui.select(null)}>Close</button>
      ${lens.chosen ? html`<span class="soft">This lens is chosen.</span>`
        : html`<button type="button" class="main" @click=${() => choose(view, lens)}>Choose ${power}</button>`}
    </div>
  </div>`;
}

/** A lens of the box brings its whole label; a half dioptre only its power. @param {EventTarget} view @param {LensOutcome} lens */
function choose(view, lens) {
  if (lens.fill) commit(view, "lens", lens.fill);
  else commit(view, "lens.lens_power_d", lens.lens_power_d);
}
