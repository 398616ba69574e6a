// The cards of the results, from the core's answer.
import { html, nothing } from "lit";
import { figures, percent, plain } from "../../elements/format.js";
import { CONSTANTS, constantText, distanceInterval, interval, points, ratioText, shareInterval, shareText, withInterval } from "./result-words.js";

/** @typedef {Record<string, any>} Value */

/** How it turned out, first. @param {Value} value @param {Value | null} more */
export function headline({ figures: found, counts, days, rule }, more) {
  const { n, within_050: near } = found;
  const ends = more?.series.target ?? {};
  return html`<gl-card heading="How did my eyes turn out?">
    <div class="headline"><p class="answer">${percent(near.fraction)}</p>
      <p><b>${near.count} of ${n} ${n === 1 ? "eye" : "eyes"} within 0.50 D of target</b>; 95 % interval ${shareInterval(near)}.</p></div>
    ${n < counts.few ? smallSeries(n, counts.few) : nothing}
    <dl class="facts">
      ${fact("Mean difference from target", plain(found.mean_d, "error_d"), interval(found.mean_low95_d, found.mean_high95_d))}
      ${fact("SD", plain(found.sd_d, "sd_d"), distanceInterval(ends.sd_d))}
      ${fact("Median distance", plain(found.medae_d, "sd_d"), distanceInterval(ends.medae_d))}
      ${fact("Mean distance", plain(found.mae_d, "sd_d"), distanceInterval(ends.mae_d))}
      ${fact("RMSE", plain(found.rmse_d, "sd_d"), distanceInterval(ends.rmse_d))}
      ${["within_025", "within_075", "within_100"].map((key) => fact(`Within ${LIMITS[key]} D`, shareText(found[key], n), shareInterval(found[key])))}
      ${fact("Eyes and persons", `${n} of ${found.persons}`, "")}
      ${days ? fact("Follow-up", `median day ${days.median}`, `day ${days.low} to ${days.high}`) : nothing}</dl>
    <p class="soft small">Achieved minus target, spherical equivalent at 12 mm; negative is more myopic. In brackets: 95 % intervals. ${rule}</p></gl-card>`;
}

/** @type {Record<string, string>} */
const LIMITS = { within_025: "0.25", within_050: "0.50", within_075: "0.75", within_100: "1.00" };

/** @param {string} word @param {string} main @param {string} ends */
function fact(word, main, ends) {
  return html`<div><dt>${word}</dt><dd>${main}${ends ? html` <span class="soft">(${ends})</span>` : nothing}</dd></div>`;
}

/** @param {number} n @param {number} few */
function smallSeries(n, few) {
  return html`<gl-banner kind="caution" heading="${n === 1 ? "One eye" : `Only ${n} eyes`}"><p>Each is its own story. Read the intervals, not the figures:
    shares mean something from about ${few} eyes, a constant of your own from about 30.</p></gl-banner>`;
}

/** Nothing to show yet, and what would change that. @param {Value} value */
export function empty({ counts }) {
  const { records, waiting, by_rule: ruled, by_hand: left } = counts;
  const why = !records ? "There are no operated eyes on this device yet."
    : `None of your ${records} ${records === 1 ? "eye" : "eyes"} counts yet: ${[[waiting, "wait for a refraction from day 28"], [ruled, "do not count"], [left, "you left out"]]
      .filter(([count]) => count).map(([count, word]) => `${count} ${word}`).join(", ") || "no target was entered"}.`;
  return html`<gl-card heading="How did my eyes turn out?"><p><b>${why}</b></p>
    <p>An eye counts with its <b>first refraction from day 28</b> after surgery, with a target entered, settled pressure, clear cornea and macula, and a corrected acuity of 6/24 or better.</p>
    <ul><li>From 1 eye: how far it ended from its target, and its graphs.</li><li>From 2 persons: a mean with its interval.</li>
    <li>From about 10 eyes: shares within 0.50 D, and what titration added.</li><li>From about 30 eyes of one lens: a constant of your own.</li></ul>
    <p><a href="#/eyes">To your eyes</a></p></gl-card>`;
}

/** @param {Value} value @param {number} movement */
export function titration({ titration: { outcome, prediction }, moments, counts }, movement) {
  return html`<gl-card heading="What titration added">
    ${outcome ? outcomeOf(outcome, movement, counts.few) : html`<p class="soft">Needs eyes with a plan, a decision in theatre, a target and a refraction from day 28; none has them all yet.</p>`}
    ${prediction ? html`<p>On ${prediction.n} ${prediction.n === 1 ? "eye" : "eyes"} the readings changed the spread of the prediction error from ${plain(prediction.planned.sd_d, "sd_d")}
      to ${plain(prediction.decided.sd_d, "sd_d")} SD; ratio ${ratioText(prediction.sd_ratio)}, below 1 is narrower.</p>` : nothing}
    ${momentsTable(moments)}</gl-card>`;
}

/** @param {Value} outcome @param {number} movement @param {number} few */
function outcomeOf({ n, achieved, without, gained_share: share, gained_d: gained, brought_in: brought, taken_out: taken }, movement, few) {
  return html`<div class="compare"><div>Untouched (estimate)<b>${percent(without.within_050.fraction)}</b>within 0.50 D</div>
      <div>As titrated<b>${percent(achieved.within_050.fraction)}</b>within 0.50 D</div></div>
    <p>On ${n} ${n === 1 ? "eye" : "eyes"}: <b>${points(share)}</b>. ${brought} brought within 0.50 D, ${taken} taken out of it. Mean distance from target: ${withInterval(gained)}, plus is nearer.${n < few ? " So few eyes settle nothing." : ""}</p>
    <p class="soft small">Untouched: where the eye would have ended with 2.0 mm outside, by ${movement.toFixed(2)} mm of optic movement per mm of haptic.</p>`;
}

/** Digits for a column whose head names the unit. @param {number | null} value @param {string} field */
function digits(value, field) {
  return value === null ? "–" : figures(value, field);
}

/** @param {Value[]} moments */
function momentsTable(moments) {
  return html`<div class="scroll" tabindex="0" role="region" aria-label="Differences at three moments"><table><thead><tr><th scope="col">Difference</th><th scope="col">Eyes</th><th scope="col">Mean</th><th scope="col">SD</th><th scope="col">≤ 0.50</th></tr></thead>
    <tbody>${moments.map(({ label, figures: found }) => html`<tr><th scope="row">${label}</th>${found
      ? html`<td>${found.n}</td><td>${digits(found.mean_d, "error_d")}</td><td>${digits(found.sd_d, "sd_d")}</td><td>${percent(found.within_050.fraction)}</td>`
      : html`<td>0</td><td>–</td><td>–</td><td>–</td>`}</tr>`)}</tbody></table></div>
    <p class="small soft">Mean and SD in D, share within 0.50 D.</p><ul class="small soft">${moments.map(({ label, about }) => html`<li>${label}: ${about}</li>`)}</ul>`;
}

/** @param {Value} value @param {Value | null} more */
export function formulas({ formulas: { n, base, rows } }, more) {
  if (!rows.length) return html`<gl-card heading="Formulas side by side"><p class="soft">Needs eyes with complete measurements, lens constants and a refraction from day 28; none has them all yet.</p></gl-card>`;
  const label = rows.find((/** @type {Value} */ row) => row.name === base)?.label;
  return html`<gl-card heading="Formulas side by side"><p>The same ${n} ${n === 1 ? "eye" : "eyes"}, each formula with its own mean error taken to zero first. SD of the error and median distance in D, share within 0.50 D.</p>
    <div class="scroll" tabindex="0" role="region" aria-label="Formulas"><table><thead><tr><th scope="col">Formula</th><th scope="col">SD</th><th scope="col">Median</th><th scope="col">≤ 0.50</th></tr></thead>
      <tbody>${rows.map((/** @type {Value} */ row) => html`<tr><th scope="row">${row.label}</th><td>${digits(row.figures.sd_d, "sd_d")}</td><td>${digits(row.figures.medae_d, "sd_d")}</td>
        <td>${percent(row.figures.within_050.fraction)}</td></tr>`)}</tbody></table></div>
    <details><summary>Against ${label}, in pairs</summary><ul>${rows.filter((/** @type {Value} */ row) => row.name !== base).map((/** @type {Value} */ row) => html`<li><b>${row.label}</b>:
      SD ratio ${ratioText(row.sd_against_base)}; mean distance ${withInterval(row.distance_against_base_d)}${medians(more, row.name)}.</li>`)}</ul>
      <p class="soft small">A ratio whose interval holds 1, or a difference whose interval holds zero, shows no difference between two formulas.</p></details></gl-card>`;
}

/** @param {Value | null} more @param {string} name */
function medians(more, name) {
  const ends = more?.formulas[name]?.median_against_base_d;
  return ends ? `; median distance between ${interval(ends[0], ends[1])}` : "";
}

/** @param {Value} value */
export function constants({ constants: { n, enough, rows } }) {
  if (!rows.length) return nothing;
  return html`<gl-card heading="Constants from your eyes"><p>The constant that takes the mean error of your ${n} ${n === 1 ? "eye" : "eyes"} to zero, and a cautious value drawn back toward the label while eyes are few.</p>
    ${n < enough ? html`<gl-banner kind="caution" heading="Keep the label's constant"><p>${n} of about ${enough} eyes of one lens that it takes to replace it.</p></gl-banner>` : nothing}
    ${rows.map(constant)}
    <p class="soft small">For the way these eyes were measured and fixed, at the haptic length left. Nothing here changes a plan: enter a constant in the plan of an eye if you want it used.</p></gl-card>`;
}

/** @param {Value} row */
function constant({ label, constant: name, weight, lenses }) {
  const text = (/** @type {number | null} */ number) => (number === null ? "–" : constantText(number, name));
  return html`<div><h3>${label}, ${CONSTANTS[name].word}</h3>${lenses.map((/** @type {Value} */ lens) => html`<dl class="facts">
      ${fact(`Label, ${lens.eyes} ${lens.eyes === 1 ? "eye" : "eyes"}`, text(lens.label_constant), "")}
      ${fact("Zeroes the mean", text(lens.zeroing), lens.low95 === null ? "" : `${text(lens.low95)} to ${text(lens.high95)}`)}
      ${fact(`Cautious, ${percent(weight)} of the way`, text(lens.shrunk), "")}</dl>`)}</div>`;
}
