/** Second screen: the readings so far, which one to take next, and withdrawing one. */
import { html, nothing } from "lit";
import { percent, plain, signed } from "../../elements/format.js";
import { cautions, withState } from "../stage/status.js";
import { t } from "../../words/words.js";

/** @typedef {import("./theatre-view.js").TheatreView} TheatreView */

const RECENT = 3;
const REASONS = {
  "Poor quality": t.theatre.poorQuality, "Entered wrongly": t.theatre.enteredWrongly,
  "Conditions not met": t.theatre.conditionsNotMet, "Another reason": t.theatre.anotherReason,
};

/** @param {TheatreView} view */
export function readingsStep(view) {
  return withState(view.theatre, () => readings(view));
}

/** @param {TheatreView} view */
function readings(view) {
  const answer = view.theatre.value;
  if (answer.blocked) return html`<gl-banner kind="stop" heading=${t.theatre.readingsClosed}>${answer.blocked.reason}</gl-banner>`;
  const stored = view.case?.readings ?? [];
  const shown = view.allReadings ? stored : stored.slice(-RECENT);
  return html`
    ${contradiction(answer.cautions)}
    ${suggestion(answer.next_reading)}
    <button type="button" class="main wide" @click=${() => view.go("conditions")}>${t.theatre.newReading}</button>
    ${stored.length === 0 ? html`<p class="say">${t.theatre.noReadingsYet}</p>${otherWays(view)}` : nothing}
    <ol class="readings" aria-label=${t.theatre.readings}>${shown.map((/** @type {any} */ reading) =>
      html`<li>${row(view, reading, stored.indexOf(reading) + 1)}</li>`)}</ol>
    ${stored.length > RECENT ? html`<button type="button" class="wide" @click=${() => view.toggleAllReadings()}>
      ${view.allReadings ? t.theatre.showLastThree : t.theatre.showAllReadings}</button>` : nothing}
    ${stored.length > 0 && view.case?.aphakic?.instrument ? beforeLens(view, t.hands.beforeLensAgain) : nothing}
    ${cautions(others(answer.cautions))}`;
}

const CONTRADICTION = "readings_contradict_plan";

/** Wrong lens, eye or patient: said before everything else. @param {Array<{code?: string, message: string}>} list */
export function contradiction(list) {
  const found = list.find((one) => one.code === CONTRADICTION);
  return found ? html`<gl-banner kind="stop" heading=${t.hands.contradiction} data-role="contradiction">${found.message}</gl-banner>` : nothing;
}

/** The cautions that were not said before everything else. @param {Array<{code?: string, message: string}>} list */
export function others(list) {
  return list.filter((one) => one.code !== CONTRADICTION);
}

/** Before the first reading: one of the eye without a lens, or none at all. @param {TheatreView} view */
function otherWays(view) {
  return html`${beforeLens(view, t.hands.beforeLens)}
    <section class="aside"><h3>${t.hands.noReading}</h3><p class="hint">${t.hands.noReadingSay}</p>
      <button type="button" class="wide" @click=${() => view.moveOn("advice")}>${t.hands.noReadingGo}</button></section>`;
}

/** @param {TheatreView} view @param {string} words */
function beforeLens(view, words) {
  return html`<button type="button" class="wide" @click=${() => view.moveOn("aphakic")}>${words}</button>`;
}

/** @param {{action: string, place: string, message: string, gain: number | null} | null} next */
export function suggestion(next) {
  if (!next) return nothing;
  const heading = next.action === "enough" ? t.theatre.enoughReadings : t.theatre.nextReading;
  return html`<gl-banner kind=${next.action === "enough" ? "done" : "info"} heading=${heading} data-role="next">
    ${next.message}${next.action === "read" && next.place !== "anywhere" ? html` ${gain(next.gain)}` : nothing}</gl-banner>`;
}

const LEAST_SHOWN = 0.005;

/** What one more reading adds to the chance within 0.50 D. @param {number | null} chance */
function gain(chance) {
  if (chance == null) return nothing;
  return chance < LEAST_SHOWN ? t.theatre.wouldHardlyChangeChance : t.theatre.wouldAddAboutChance(percent(chance));
}

/** @param {TheatreView} view @param {any} reading @param {number} rank */
function row(view, reading, rank) {
  const seen = view.theatre.value.readings.find((/** @type {any} */ one) => one.id === reading.id);
  const value = seen?.refraction_d ?? reading.refraction_d;
  const gone = reading.withdrawn;
  return html`<div class=${gone ? "reading gone" : "reading"} data-reading=${reading.id}>
    <p class="reading-value"><span class="rank">${t.theatre.no(rank)}</span> <strong>${signed(value, "refraction_d")}</strong></p>
    <p>${place(reading, seen)}${seen?.gross > 0.2 && !gone ? html` ${t.theatre.doubtful(percent(seen.gross))}` : nothing}</p>
    ${gone ? html`<p>${t.theatre.withdrawn(gone.reason)}</p>` : seen?.used === false ? html`<p>${t.theatre.notUsed(seen.why_not)}</p>` : nothing}
    ${gone ? nothing : withdrawal(view, reading, rank)}
  </div>`;
}

/** @param {any} reading @param {any} seen @returns {string} */
function place(reading, seen) {
  const outside = seen?.outside_mm == null ? "" : t.theatre.outside(plain(seen.outside_mm, "outside_mm"));
  const assumed = reading.length_basis === "measured" ? "" : ", assumed";
  return `${outside}${assumed}`;
}

/** @param {TheatreView} view @param {any} reading @param {number} rank */
function withdrawal(view, reading, rank) {
  if (view.withdrawing !== reading.id) return html`<button type="button" class="quiet"
    @click=${() => view.startWithdrawing(reading.id)}>${t.theatre.withdraw}</button>`;
  return html`<div class="withdraw">
    <gl-choice label=${t.theatre.whyWithdraw} path="withdraw.reason" local .options=${REASONS}
      .value=${view.withdrawReason}></gl-choice>
    <gl-hold danger label=${t.theatre.withdrawReading(rank)} ?disabled=${!view.withdrawReason}
      @confirm=${() => view.withdraw(reading.id)}></gl-hold>
    <button type="button" class="quiet" @click=${() => view.startWithdrawing(null)}>${t.theatre.keep}</button>
    <p class="hint">${t.theatre.staysRecordStruckThrough}</p>
  </div>`;
}
