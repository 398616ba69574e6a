/** The chart; the advice, what half a millimetre more or less would do, and what else could help. */
import { html, nothing } from "lit";
import { percent, plain, range, signed } from "../../elements/format.js";
import { ownEyesLine } from "../learning/own-eyes-words.js";
import { cautions, withState } from "../stage/status.js";
import { nothingToCut } from "./advice-words.js";
import { levers, shownOf } from "./levers.js";
import { otherOptions } from "./other-options.js";
import { ownCut } from "./own-cut.js";
import { contradiction, others, suggestion } from "./readings-step.js";
import { rich } from "../../words/rich.js";
import { t } from "../../words/words.js";

/** @typedef {import("./theatre-view.js").TheatreView} TheatreView */
/** @typedef {import("./levers.js").Shown} Shown */

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
  const shown = shownOf(view, answer);
  return html`
    ${contradiction(answer.cautions)}
    <section class="answer ${shown.kind}" data-role="advice">${answer.plan_alone ? html`<p class="not-advised">${answer.plan_alone.heading}</p>` : nothing}
      ${shown.kind === "advised" ? nothing
      : html`<p class="not-advised">${shown.kind === "own" ? t.hands.noteOwn : t.hands.notAdvised}</p>`}
      ${shown.nothingToCut ? html`<p class="answer-word">${nothingToCut(answer.advice)}</p>` : cuts(view, shown, answer.advice.reason)}</section>
    ${expected(shown)} ${planAlone(answer.plan_alone)}
    <p class="unseen" role="status">${answer.sentence}</p>
    ${ownCut(view)}
    ${answer.haptic_state === "both_free" ? levers(view, answer, shown) : nothing}
    ${otherWay(view, answer.advice)} ${otherOptions(answer.advice.other_options)}
    ${suggestion(answer.next_reading)} ${ownEyesLine(answer.history)}
    ${cautions([...others(answer.cautions), ...view.theatre.warnings])}`;
}

/** @param {{heading: string, message: string} | null} found */
function planAlone(found) {
  if (!found) return nothing;
  return html`<gl-banner kind="caution" heading=${found.heading} data-role="plan-alone">${found.message}</gl-banner>`;
}

/** @param {TheatreView} view @param {Shown} shown @param {string} reason */
function cuts(view, shown, reason) {
  const { a, b } = view.clocks;
  return html`<p class="answer-label">${reason === "recut" ? t.hands.meltAgain : t.hands.centreThenCut}</p>
    <div class="two">${cut(a, shown.cuts[0])}${cut(b, shown.cuts[1])}</div>`;
}

/** @param {string} clock @param {number} length */
function cut(clock, length) {
  return html`<p><span class="clock">${t.theatre.at(clock)}</span><strong class="answer-value">${plain(length, "cut_mm")}</strong></p>`;
}

/** @param {Shown} shown */
function expected({ final }) {
  return html`<section class="expected"><p class="answer-label">${t.theatre.expectedFinal}</p>
    <p><strong class="value">${signed(final.mean_d, "refraction_d")}</strong></p>
    <p class="say">80 %: ${range(final.low80_d, final.high80_d, "refraction_d")}</p>
    <p class="say">${rich(t.theatre.withinD(percent(final.within_050)), { strong: (words) => html`<strong>${words}</strong>` })}</p></section>`;
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
