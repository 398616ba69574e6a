/**
 * What half a millimetre more or less would do. Two keys step through what can be reached; the answer
 * above shows each in place of the advice and says that it is not the advised one. Looking chooses nothing.
 */
import { html, nothing } from "lit";
import { ownCutForm } from "./own-cut.js";
import { t } from "../../words/words.js";

/** @typedef {import("./theatre-view.js").TheatreView} TheatreView */
/** @typedef {{mean_d: number, low80_d: number, high80_d: number, within_050: number}} Final */
/** @typedef {{kind: "advised" | "own" | "looked-at", nothingToCut: boolean, cuts: [number, number], final: Final, way: string | null}} Shown */

/** The advice, the surgeon's own cut in its place, or the neighbour that is looked at. @param {TheatreView} view @param {any} answer @returns {Shown} */
export function shownOf(view, answer) {
  const { advice, decision } = answer;
  const looked = answer.neighbours[view.lookedAt ?? -1];
  if (looked && !looked.advised) return { kind: "looked-at", nothingToCut: false, cuts: looked.cut_mm, final: looked, way: looked.way };
  if (view.chosen && decision.decided_as === "own") {
    return { kind: "own", nothingToCut: false, cuts: [decision.cut_a_mm, decision.cut_b_mm], final: decision, way: null };
  }
  return { kind: "advised", nothingToCut: advice.no_useful_adjustment, cuts: advice.cut_mm, final: advice.final, way: null };
}

/** @param {TheatreView} view @param {any} answer @param {Shown} shown */
export function levers(view, answer, shown) {
  const list = /** @type {any[]} */ (answer.neighbours);
  const now = view.lookedAt ?? list.findIndex((one) => one.advised);
  return html`<section class="levers" aria-label=${t.theatre.halfMillimetreMoreLess}>
    <p class="lever" role="status">${shown.way ?? answer.lever}</p>
    <div class="keys">${key(view, list, now - 1, "less", t.hands.halfLess)}${key(view, list, now + 1, "more", t.hands.halfMore)}</div>
    ${shown.kind === "looked-at" ? html`
      <button type="button" class="main wide" @click=${() => view.choose(shown.cuts)}>${t.hands.chooseThis}</button>
      <button type="button" class="wide" @click=${() => view.lookAt(null)}>${t.hands.backToAdvice}</button>` : nothing}
    <p class="say">${t.theatre.ifUndecidedCutLess}</p>
    <button type="button" class="quiet" aria-expanded=${view.neighbours ? "true" : "false"} @click=${() => view.toggleNeighbours()}>${t.hands.otherLengths}</button>
    ${view.neighbours ? ownCutForm(view) : nothing}</section>`;
}

/** @param {TheatreView} view @param {any[]} list @param {number} to @param {string} way @param {string} word */
function key(view, list, to, way, word) {
  const there = to >= 0 && to < list.length;
  return html`<button type="button" data-lever=${way} ?disabled=${!there} @click=${() => view.lookAt(to)}>${word}</button>`;
}
