/** The lenses of a plan: ranked, with what stands first and why, what breaks and what is missing. */
import { html, nothing } from "lit";
import { percent, plain, range, signed } from "../../elements/format.js";
import { fact } from "../stage/facts.js";
import { commit } from "../stage/records.js";
import { rich } from "../../words/rich.js";
import { t } from "../../words/words.js";

/** @typedef {import("../../charts/reach-chart.js").LensOutcome} LensOutcome */
/** @typedef {import("./result.js").PlanAnswer} PlanAnswer */
/** @typedef {{target: number | null, selected: string | null, select: (key: string | null) => void}} Ui */

/** @param {EventTarget} view @param {PlanAnswer} plan @param {Ui} ui */
export function lensList(view, plan, ui) {
  const shown = plan.lenses.find((lens) => lens.key === ui.selected) ?? null;
  return html`<section><h3>${t.plan.whatEachLensCould}</h3>
    ${plan.box?.kinds ? html`<p class="hint">${t.plan.fromYour} <a href="#/box">${t.plan.box}</a>${plan.box.not_shown ? html`${t.plan.furtherFromTargetNot(plan.box.not_shown)}` : nothing}.</p>`
      : html`<p class="hint">${rich(t.plan.everyHalfDioptreBox(plan.box ? t.plan.nothingYour : t.plan.listLensesYouHave, plan.box ? t.plan.canUsed : t.plan.planThose), { a: (words) => html`<a href="#/box">${words}</a>` })}</p>`}
    ${ranking(plan)}
    <p class="hint">${t.plan.tapLensItsNumbers}</p>
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
    ${fact(t.plan.firstChoice, label(choice.first))} ${fact(t.plan.second, label(choice.second))}</dl>
    <p data-role="why">${unbroken(choice.why)}</p><p data-role="reserve">${unbroken(choice.if_it_breaks)}</p>`;
}

/** A number and its unit stay on one line. @param {string} words */
function unbroken(words) {
  return words.replace(/(\d) (D|%)/g, "$1\u00a0$2");
}

/** The chart's rows, each with what to write under its power. @param {PlanAnswer} plan @returns {LensOutcome[]} */
function named({ lenses, choice }) {
  const names = new Set(lenses.map((lens) => lens.fill?.lens_name ?? ""));
  const place = (/** @type {string | undefined} */ key) => (key === choice?.first ? t.plan.placeFirst : key === choice?.second ? t.plan.placeSecond : "");
  return lenses.map((lens) => ({
    ...lens,
    under: [place(lens.key), lens.pieces ? t.plan.left(lens.pieces) : ""].filter(Boolean).join(" · "),
    name: names.size > 1 ? lens.fill?.lens_name ?? "" : "",
  }));
}

/** @param {PlanAnswer} plan */
function missing(plan) {
  if (!plan.missing_powers?.length) return nothing;
  return html`<div data-role="missing-powers"><h4>${t.plan.missingFromBox}</h4>
    ${plan.missing_powers.map((one) => html`<p>${unbroken(one.message)}</p>`)}</div>`;
}

/** @param {PlanAnswer} plan */
function leftOut(plan) {
  const list = plan.box?.left_out ?? [];
  if (!list.length) return nothing;
  return html`<details data-role="left-out"><summary>${t.plan.lensesBoxNotOffered(list.length)}</summary>
    <ul>${list.map((one) => html`<li>${one.label}: ${one.why}</li>`)}</ul></details>`;
}

/** @param {EventTarget} view @param {LensOutcome} lens @param {Ui} ui */
function lensDetail(view, lens, ui) {
  const power = signed(lens.lens_power_d, "lens_power_d");
  return html`<div class="lens-detail" data-role="lens-detail">
    <h4>${t.plan.lens(lens.label ?? power)}</h4>
    ${lens.note ? html`<gl-banner kind="caution">${lens.note}</gl-banner>` : nothing}
    <dl class="facts">
      ${lens.pieces ? fact(t.plan.box2, lens.pieces) : nothing}
      ${fact(t.plan.expected, signed(lens.mean_d, "refraction_d"))}
      ${fact("80 %", range(lens.low80_d, lens.high80_d, "refraction_d"))}
      ${fact(t.plan.withinDNoTitration, percent(lens.within_050))}
      ${fact(t.plan.withinDAfterTitration, percent(lens.titrated_within_050))}
      ${lens.reach.map((end, index) => fact(
        t.plan.outside(index === 0 ? t.plan.nothingCut : t.plan.drawnOut, plain(end.outside_mm, "outside_mm")),
        signed(end.mean_d, "refraction_d")))}
    </dl>
    ${lens.fill && !lens.chosen ? html`<p class="hint">${t.plan.choosingWritesItsPower}</p>` : nothing}
    <div class="actions">
      <button type="button" class="quiet" @click=${() => ui.select(null)}>${t.plan.close}</button>
      ${lens.chosen ? html`<span class="soft">${t.plan.lensChosen}</span>`
        : html`<button type="button" class="main" @click=${() => choose(view, lens)}>${t.plan.choose2(power)}</button>`}
    </div>
  </div>`;
}

/** A lens of the box brings its whole label; a half dioptre only its power. @param {EventTarget} view @param {LensOutcome} lens */
function choose(view, lens) {
  if (lens.fill) commit(view, "lens", lens.fill);
  else commit(view, "lens.lens_power_d", lens.lens_power_d);
}
