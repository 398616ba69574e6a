/** The surgeon's own cut in place of the advised one: a neighbour, or two lengths typed in. */
import { html, nothing } from "lit";
import { localNumber } from "../stage/local-inputs.js";
import { t } from "../../words/words.js";

/** @typedef {import("./theatre-view.js").TheatreView} TheatreView */

/** What was chosen instead of the advice, with the way back. @param {TheatreView} view */
export function ownCut(view) {
  if (!view.chosen) return nothing;
  return html`<gl-banner kind="caution" heading=${t.theatre.yourOwnCutNot} data-role="own-cut">
    ${view.theatre.value?.own_cut ?? t.theatre.advisedOneTenthMillimetre}
    <button type="button" class="link" @click=${() => view.choose(null)}>${t.theatre.backAdvice}</button></gl-banner>`;
}

/** @param {TheatreView} view */
export function ownCutForm(view) {
  const { a, b } = view.clocks;
  const { cut_a_mm: first, cut_b_mm: second } = view.ownCuts.values;
  const ready = first != null && second != null;
  return html`<section class="entry" aria-label=${t.theatre.yourOwnCut}>
    <div class="pairs">
      ${localNumber(view, view.ownCuts, "cut_a_mm", { field: "cut_mm", label: t.theatre.cut5(a) })}
      ${localNumber(view, view.ownCuts, "cut_b_mm", { field: "cut_mm", label: t.theatre.cut6(b) })}
    </div>
    <button type="button" class="wide" ?disabled=${!ready} @click=${() => view.choose([first, second])}>${t.theatre.useTheseCuts}</button>
  </section>`;
}
