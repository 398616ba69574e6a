/** The chart, the advice and its neighbours. */
import { html, nothing } from "lit";
import { figures, percent, plain, range, signed } from "../../elements/format.js";
import { ownEyesLine } from "../learning/own-eyes-words.js";
import { cautions, withState } from "../stage/status.js";
import { nothingToCut } from "./advice-words.js";
import { ownCut, ownCutForm } from "./own-cut.js";
import { suggestion } from "./readings-step.js";
import { rich } from "../../words/rich.js";
import { t } from "../../words/words.js";

/** @typedef {import("./theatre-view.js").TheatreView} TheatreView */

/** @param {TheatreView} view */
export function chartStep(view) {
  return withState(view.theatre, () => chart(view));
}

/** @param {TheatreView} view */
function chart(view) {
  const { chart: data, readings, advice, blocked } = view.theatre.value;
  if (!data) return nothingYet(blocked);
  return html`
    <gl-titration-chart .chart=${data} .readings=${readings} .advised=${advice?.outside_mm ?? null}></gl-titration-chart>
    <p class="say">${view.theatre.value.lever}</p>
    ${suggestion(view.theatre.value.next_reading)}`;
}

/** @param {{reason: string} | null} blocked */
function nothingYet(blocked) {
  return html`<gl-banner kind=${blocked ? "stop" : "info"} heading=${blocked ? t.theatre.closed : t.theatre.noAdviceYet}>
    ${blocked?.reason ?? t.theatre.takeReadingFirst}</gl-banner>`;
}

/** @param {TheatreView} view */
export function adviceStep(view) {
  return withState(view.theatre, () => advice(view));
}

/** @param {TheatreView} view */
function advice(view) {
  const answer = view.theatre.value;
  if (!answer.advice) return nothingYet(answer.blocked);
  return html`
    ${ownCut(view)}
    ${answer.advice.no_useful_adjustment ? noAdjustment(answer.advice) : cuts(view, answer.advice)}
    ${expected(answer.advice.final)}
    ${ownEyesLine(answer.history)}
    ${answer.haptic_state === "both_free" ? choices(view, answer) : nothing}
    ${otherWay(view, answer.advice)} ${suggestion(answer.next_reading)}
    ${cautions([...answer.cautions, ...view.theatre.warnings])}`;
}

/** As good an answer as a cut. @param {{reason?: string | null}} found */
function noAdjustment(found) {
  return html`<section class="answer" data-role="advice"><p class="answer-word">${nothingToCut(found)}</p></section>`;
}

/** What more or less haptic would do. @param {TheatreView} view @param {any} answer */
function choices(view, answer) {
  return html`<p class="lever">${answer.lever}</p>
    <p class="say">${t.theatre.ifUndecidedCutLess}</p>
    <button type="button" class="wide" aria-expanded=${view.neighbours ? "true" : "false"}
      @click=${() => view.toggleNeighbours()}>${view.neighbours ? t.theatre.hideOtherCuts : t.theatre.halfMillimetreMoreLess}</button>
    ${view.neighbours ? html`${neighbourTable(view, answer.neighbours)} ${ownCutForm(view)}` : nothing}`;
}

/** @param {TheatreView} view @param {any} found */
function cuts(view, found) {
  const { a, b } = view.clocks;
  return html`<section class="answer" data-role="advice"><p class="answer-label">${t.theatre.cut}</p>
    <div class="two">${cut(a, found.cut_mm[0])}${cut(b, found.cut_mm[1])}</div></section>`;
}

/** @param {string} clock @param {number} length */
function cut(clock, length) {
  return html`<p><span class="clock">${t.theatre.at(clock)}</span><strong class="answer-value">${plain(length, "cut_mm")}</strong></p>`;
}

/** @param {any} final */
function expected(final) {
  return html`<section class="expected"><p class="answer-label">${t.theatre.expectedFinal}</p>
    <p><strong class="value">${signed(final.mean_d, "refraction_d")}</strong></p>
    <p class="say">80 %: ${range(final.low80_d, final.high80_d, "refraction_d")}</p>
    <p class="say">${rich(t.theatre.withinD(percent(final.within_050)), { strong: (words) => html`<strong>${words}</strong>` })}</p></section>`;
}

/** @param {TheatreView} view @param {any[]} list */
function neighbourTable(view, list) {
  return html`<table class="neighbours">
    <thead><tr><th scope="col">${t.theatre.cut2(view.clocks.a, view.clocks.b)}</th><th scope="col">${t.theatre.final}</th>
      <th scope="col">${t.theatre.chance}</th><th scope="col"><span class="unseen">${t.theatre.choose}</span></th></tr></thead>
    <tbody>${list.map((one) => html`<tr class=${one.advised ? "advised" : ""}>
      <td>${figures(one.cut_mm[0], "cut_mm")} / ${plain(one.cut_mm[1], "cut_mm")}
        ${one.advised ? html`<br><small>${t.theatre.advised}</small>` : nothing}</td>
      <td>${signed(one.mean_d, "refraction_d")}</td><td>${percent(one.within_050)}</td>
      <td>${one.advised ? nothing : html`<button type="button" @click=${() => view.choose(one.cut_mm)}>${t.theatre.choose}</button>`}</td></tr>`)}</tbody></table>
    <p class="hint">${t.theatre.chanceWithinDTarget}</p>`;
}

/** With a doubtful reading the advice is shown both ways. @param {TheatreView} view @param {any} found */
function otherWay(view, found) {
  const other = found.without_doubtful;
  if (!other) return nothing;
  const rank = (view.case?.readings ?? []).findIndex((/** @type {any} */ one) => one.id === other.reading) + 1;
  const { a, b } = view.clocks;
  return html`<gl-banner kind="caution" heading=${t.theatre.readingNoDoubtful(rank)} data-role="doubtful">
    ${t.theatre.withoutFinalRepeatReading(other.no_useful_adjustment ? t.theatre.noUsefulAdjustment
      : t.theatre.cut3(plain(other.cut_mm[0], "cut_mm"), a, plain(other.cut_mm[1], "cut_mm"), b), signed(other.final.mean_d, "refraction_d"))}</gl-banner>`;
}
