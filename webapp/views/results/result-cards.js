// The cards of the results, from the core's answer.
import { html, nothing } from "lit";
import { figures, percent, plain } from "../../elements/format.js";
import { CONSTANTS, constantText, distanceInterval, interval, points, ratioText, shareInterval, shareText, withInterval } from "./result-words.js";
import { rich } from "../../words/rich.js";
import { t } from "../../words/words.js";

/** @typedef {Record<string, any>} Value */

/** How it turned out, first. @param {Value} value @param {Value | null} more */
export function headline({ figures: found, counts, days, rule }, more) {
  const { n, within_050: near } = found;
  const ends = more?.series.target ?? {};
  return html`<gl-card heading=${t.results.howDidMyEyes}>
    <div class="headline"><p class="answer">${percent(near.fraction)}</p>
      <p>${rich(t.results.eyesWithinDTarget(near.count, n, shareInterval(near)), { b: (words) => html`<b>${words}</b>` })}</p></div>
    ${n < counts.few ? smallSeries(n, counts.few) : nothing}
    <dl class="facts">
      ${fact(t.results.meanDifferenceFromTarget, plain(found.mean_d, "error_d"), interval(found.mean_low95_d, found.mean_high95_d))}
      ${fact("SD", plain(found.sd_d, "sd_d"), distanceInterval(ends.sd_d))}
      ${fact(t.results.medianDistance, plain(found.medae_d, "sd_d"), distanceInterval(ends.medae_d))}
      ${fact(t.results.meanDistance, plain(found.mae_d, "sd_d"), distanceInterval(ends.mae_d))}
      ${fact("RMSE", plain(found.rmse_d, "sd_d"), distanceInterval(ends.rmse_d))}
      ${["within_025", "within_075", "within_100"].map((key) => fact(t.results.withinD(LIMITS[key]), shareText(found[key], n), shareInterval(found[key])))}
      ${fact(t.results.eyesPersons, t.results.of(n, found.persons), "")}
      ${days ? fact(t.results.followUp, t.results.medianDay(days.median), t.results.day(days.low, days.high)) : nothing}</dl>
    <p class="soft small">${t.results.achievedMinusTargetSpherical(rule)}</p></gl-card>`;
}

/** @type {Record<string, string>} */
const LIMITS = { within_025: "0.25", within_050: "0.50", within_075: "0.75", within_100: "1.00" };

/** @param {string} word @param {string} main @param {string} ends */
function fact(word, main, ends) {
  return html`<div><dt>${word}</dt><dd>${main}${ends ? html` <span class="soft">(${ends})</span>` : nothing}</dd></div>`;
}

/** @param {number} n @param {number} few */
function smallSeries(n, few) {
  return html`<gl-banner kind="caution" heading="${t.results.onlyEyes(n)}"><p>${t.results.eachItsOwnStory(few)}</p></gl-banner>`;
}

/** Nothing to show yet, and what would change that. @param {Value} value */
export function empty({ counts }) {
  const { records, waiting, by_rule: ruled, by_hand: left } = counts;
  const why = !records ? t.results.thereNoOperatedEyes
    : t.results.noneYourEyesCounts(records, [[waiting, t.results.waitRefractionFromDay], [ruled, t.results.doNotCount], [left, t.results.youLeftOut]]
      .filter(([count]) => count).map(([count, word]) => `${count} ${word}`).join(", ") || t.results.noTargetWasEntered);
  return html`<gl-card heading=${t.results.howDidMyEyes}><p><b>${why}</b></p>
    <p>${rich(t.results.eyeCountsItsFirst, { b: (words) => html`<b>${words}</b>` })}</p>
    <ul><li>${t.results.fromEyeHowFar}</li><li>${t.results.fromPersonsMeanIts}</li>
    <li>${t.results.fromAboutEyesShares}</li><li>${t.results.fromAboutEyesOne}</li></ul>
    <p><a href="#/eyes">${t.results.yourEyes}</a></p></gl-card>`;
}

/** @param {Value} value @param {number} movement */
export function titration({ titration: { outcome, prediction }, moments, counts }, movement) {
  return html`<gl-card heading=${t.results.whatTitrationAdded}>
    ${outcome ? outcomeOf(outcome, movement, counts.few) : html`<p class="soft">${t.results.needsEyesPlanDecision}</p>`}
    ${prediction ? html`<p>${t.results.eyesReadingsChangedSpread(prediction.n, plain(prediction.planned.sd_d, "sd_d"), plain(prediction.decided.sd_d, "sd_d"), ratioText(prediction.sd_ratio))}</p>` : nothing}
    ${momentsTable(moments)}</gl-card>`;
}

/** @param {Value} outcome @param {number} movement @param {number} few */
function outcomeOf({ n, achieved, without, gained_share: share, gained_d: gained, brought_in: brought, taken_out: taken }, movement, few) {
  return html`<div class="compare"><div>${rich(t.results.untouchedEstimateWithinD(percent(without.within_050.fraction)), { b: (words) => html`<b>${words}</b>` })}</div>
      <div>${rich(t.results.asTitratedWithinD(percent(achieved.within_050.fraction)), { b: (words) => html`<b>${words}</b>` })}</div></div>
    <p>${rich(t.results.eyesBroughtWithinD(n, points(share), brought, taken, withInterval(gained), n < few ? t.results.soFewEyesSettle : ""), { b: (words) => html`<b>${words}</b>` })}</p>
    <p class="soft small">${t.results.untouchedWhereEyeWould(movement.toFixed(2))}</p>`;
}

/** Digits for a column whose head names the unit. @param {number | null} value @param {string} field */
function digits(value, field) {
  return value === null ? "–" : figures(value, field);
}

/** @param {Value[]} moments */
function momentsTable(moments) {
  return html`<div class="scroll" tabindex="0" role="region" aria-label=${t.results.differencesThreeMoments}><table><thead><tr><th scope="col">${t.results.difference}</th><th scope="col">${t.results.eyes}</th><th scope="col">${t.results.mean}</th><th scope="col">SD</th><th scope="col">≤ 0.50</th></tr></thead>
    <tbody>${moments.map(({ label, figures: found }) => html`<tr><th scope="row">${label}</th>${found
      ? html`<td>${found.n}</td><td>${digits(found.mean_d, "error_d")}</td><td>${digits(found.sd_d, "sd_d")}</td><td>${percent(found.within_050.fraction)}</td>`
      : html`<td>0</td><td>–</td><td>–</td><td>–</td>`}</tr>`)}</tbody></table></div>
    <p class="small soft">${t.results.meanSdDShare}</p><ul class="small soft">${moments.map(({ label, about }) => html`<li>${label}: ${about}</li>`)}</ul>`;
}

/** @param {Value} value @param {Value | null} more */
export function formulas({ formulas: { n, base, rows } }, more) {
  if (!rows.length) return html`<gl-card heading=${t.results.formulasSideSide}><p class="soft">${t.results.needsEyesCompleteMeasurements}</p></gl-card>`;
  const label = rows.find((/** @type {Value} */ row) => row.name === base)?.label;
  return html`<gl-card heading=${t.results.formulasSideSide}><p>${t.results.sameEyesEachFormula(n)}</p>
    <div class="scroll" tabindex="0" role="region" aria-label=${t.results.formulas}><table><thead><tr><th scope="col">${t.results.formula}</th><th scope="col">SD</th><th scope="col">${t.results.median}</th><th scope="col">≤ 0.50</th></tr></thead>
      <tbody>${rows.map((/** @type {Value} */ row) => html`<tr><th scope="row">${row.label}</th><td>${digits(row.figures.sd_d, "sd_d")}</td><td>${digits(row.figures.medae_d, "sd_d")}</td>
        <td>${percent(row.figures.within_050.fraction)}</td></tr>`)}</tbody></table></div>
    <details><summary>${t.results.againstPairs(label)}</summary><ul>${rows.filter((/** @type {Value} */ row) => row.name !== base).map((/** @type {Value} */ row) => html`<li>${rich(t.results.sdRatioMeanDistance(row.label, ratioText(row.sd_against_base), withInterval(row.distance_against_base_d), medians(more, row.name)), { b: (words) => html`<b>${words}</b>` })}</li>`)}</ul>
      <p class="soft small">${t.results.ratioWhoseIntervalHolds}</p></details></gl-card>`;
}

/** @param {Value | null} more @param {string} name */
function medians(more, name) {
  const ends = more?.formulas[name]?.median_against_base_d;
  return ends ? t.results.medianDistanceBetween(interval(ends[0], ends[1])) : "";
}

/** @param {Value} value */
export function constants({ constants: { n, enough, rows } }) {
  if (!rows.length) return nothing;
  return html`<gl-card heading=${t.results.constantsFromYourEyes}><p>${t.results.constantTakesMeanError(n)}</p>
    ${n < enough ? html`<gl-banner kind="caution" heading=${t.results.keepLabelsConstant}><p>${t.results.aboutEyesOneLens(n, enough)}</p></gl-banner>` : nothing}
    ${rows.map(constant)}
    <p class="soft small">${t.results.wayTheseEyesWere}</p></gl-card>`;
}

/** @param {Value} row */
function constant({ label, constant: name, weight, lenses }) {
  const text = (/** @type {number | null} */ number) => (number === null ? "–" : constantText(number, name));
  return html`<div><h3>${label}, ${CONSTANTS[name].word}</h3>${lenses.map((/** @type {Value} */ lens) => html`<dl class="facts">
      ${fact(t.results.labelEyes(lens.eyes), text(lens.label_constant), "")}
      ${fact(t.results.zeroesMean, text(lens.zeroing), lens.low95 === null ? "" : t.results.to(text(lens.low95), text(lens.high95)))}
      ${fact(t.results.cautiousWay(percent(weight)), text(lens.shrunk), "")}</dl>`)}</div>`;
}
