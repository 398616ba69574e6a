/** The plan's result: the chosen lens, the reach chart, the formulas, the interval's causes. */
import { html, nothing } from "lit";
import { percent, plain, range, signed } from "../../elements/format.js";
import { ownEyesSection } from "../learning/own-eyes-words.js";
import { fact } from "../stage/facts.js";
import { wordFor } from "../stage/fields.js";
import { cautions } from "../stage/status.js";
import { lensList } from "./lens-list.js";
import { mediaSection } from "./fill-after.js";
import { routeSection } from "./second-route.js";
import { t } from "../../words/words.js";

/** @typedef {import("../../charts/reach-chart.js").LensOutcome} LensOutcome */
/**
 * @typedef {object} PlanAnswer
 * @property {boolean} ready
 * @property {Array<{path: string, message: string}>} missing
 * @property {string} base
 * @property {Record<string, {power_d: number | null, lens_position_mm: number | null, refraction_d: number | null, why_not?: string | null}>} formulas
 * @property {LensOutcome[]} lenses
 * @property {{first: string, second: string | null, reserve: string | null, by: string, why: string, if_it_breaks: string} | null} choice
 * @property {{lens_power_d: number, gain: number, message: string}[]} missing_powers
 * @property {{kinds: number, not_shown: number, left_out: {id: string, label: string, why: string}[]} | null} box
 * @property {(LensOutcome & {within_025: number, within_100: number}) | null} chosen
 * @property {Array<{name: string, label: string, sd_d: number, share: number}>} budget
 * @property {{a: string, b: string} | null} clocks
 * @property {Record<string, string>} assumed what stands in for empty entries, by path
 * @property {{outer_chord_mm?: number, symmetric?: boolean} | null} entries
 * @property {number | null} expected_outside_mm
 * @property {any} history what the own eyes moved
 * @property {any} second_route
 * @property {any} media
 * @property {Array<{code: string, field: string | null, message: string}>} cautions
 * @property {{lines: Array<{label: string, value: string}>, fingerprint: string} | null} readback
 */

/**
 * @param {EventTarget} view @param {PlanAnswer} plan
 * @param {{target: number | null, selected: string | null, select: (key: string | null) => void, goTo: (path: string) => void,
 *   own: import("../learning/own-eyes-of.js").OwnEyesOf}} ui
 */
export function planResult(view, plan, ui) {
  if (!plan.ready) return html`<p>${t.plan.planNeeds}</p>${missingList(plan.missing, ui.goTo)}${cautions(plan.cautions, ui.goTo)}
    ${/** @type {any} */ (view).case?.ignore_history ? ownEyesSection(/** @type {any} */ (view), ui.own, null) : nothing}`;
  return html`<div class="stack">
    ${plan.chosen ? chosenLens(plan.chosen, ui.target, plan.base) : html`<p>${t.plan.noLensPowerEntered}</p>`}
    ${ownEyesSection(/** @type {any} */ (view), ui.own, plan.history)}
    ${routeSection(plan.second_route, ui.goTo)} ${mediaSection(plan.media)}
    ${lensList(view, plan, ui)}
    ${formulaTable(plan)} ${budgetTable(plan.budget)}
    ${cautions(plan.cautions, ui.goTo)}
  </div>`;
}

/** @param {PlanAnswer["missing"]} missing @param {(path: string) => void} goTo */
export function missingList(missing, goTo) {
  return html`<ul class="findings">${missing.map((item) => html`<li>
    <button type="button" class="finding missing" data-path=${item.path} @click=${() => goTo(item.path)}>
      <strong>${t.plan.missing}</strong><span>${item.message}</span></button></li>`)}</ul>`;
}

/** @param {LensOutcome & {within_025: number, within_100: number}} lens @param {number | null} target @param {string} base */
function chosenLens(lens, target, base) {
  return html`<section class="chosen-lens" data-role="chosen">
    <h3>${t.plan.lens2(signed(lens.lens_power_d, "lens_power_d"), target == null ? "" : t.plan.target(signed(target, "target_d")))}</h3>
    <p class="outcome"><strong>${signed(lens.mean_d, "refraction_d")}</strong>
      <span>80 %: ${range(lens.low80_d, lens.high80_d, "refraction_d")}</span></p>
    ${chances(lens)}
    <p class="hint">${t.plan.expectedSphericalEquivalentBefore(wordFor("formula", base))}</p>
  </section>`;
}

/** @param {LensOutcome & {within_025?: number, within_100?: number}} lens */
function chances(lens) {
  const item = (/** @type {string} */ word, /** @type {number | undefined} */ value) =>
    value === undefined ? nothing : fact(t.plan.chanceWithin(word), percent(value));
  return html`<dl class="facts">
    ${item("0.25 D", lens.within_025)} ${item("0.50 D", lens.within_050)} ${item("1.00 D", lens.within_100)}
    ${item(t.plan.dAfterTitration, lens.titrated_within_050)}
  </dl>`;
}

/** @param {PlanAnswer} plan */
function formulaTable(plan) {
  return html`<section><h3>${t.plan.whatEachFormulaAnswers}</h3>
    <div class="scroll" tabindex="0" role="region" aria-label=${t.plan.whatEachFormulaAnswers}><table><thead><tr><th scope="col">${t.plan.formula}</th><th scope="col">${t.plan.powerTarget}</th><th scope="col">${t.plan.lens3}</th></tr></thead>
      <tbody>${Object.entries(plan.formulas).map(([name, found]) => html`<tr class=${name === plan.base ? "base" : ""}>
        <th scope="row">${wordFor("formula", name)}${name === plan.base ? html` <small>${t.plan.base}</small>` : nothing}</th>
        ${found.why_not ? html`<td colspan="2" class="why">${found.why_not}</td>`
          : html`<td>${signed(found.power_d, POWER)}</td><td>${signed(found.refraction_d, "refraction_d")}</td>`}</tr>`)}
      </tbody></table></div>
    <p class="hint">${t.plan.baseFormulaUsedEverything}</p>
  </section>`;
}

const POWER = /** @type {import("../../elements/format.js").Field} */ ({
  name: "power_d", label: t.plan.power, meaning: "", kind: "number", unit: "D", decimals: 2, lowest: null, highest: null,
  usual_low: null, usual_high: null, signed: true, choices: {},
});

/** @param {PlanAnswer["budget"] | null | undefined} budget */
function budgetTable(budget) {
  if (!budget?.length) return nothing;
  return html`<section><h3>${t.plan.whatMakesIntervalWide}</h3>
    <ul class="budget">${budget.map((part) => html`<li>
      <span>${part.label}</span><span class="sd">±${plain(part.sd_d, { ...POWER, signed: false })}</span>
      <span class="bar" aria-hidden="true"><i .style=${`width:${Math.min(part.share, 1) * 100}%`}></i></span>
      <span class="share">${percent(part.share)}</span></li>`)}</ul>
    <p class="hint">${t.plan.oneStandardDeviationShares}</p>
  </section>`;
}
