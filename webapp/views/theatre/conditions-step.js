/** Second screen: what must hold before a reading can mean anything; kept with the reading. */
import { html } from "lit";
import { fieldOf } from "../../elements/format.js";
import { t } from "../../words/words.js";

/** @typedef {import("./theatre-view.js").TheatreView} TheatreView */

/** @param {TheatreView} view */
export function conditionsStep(view) {
  const words = fieldOf("conditions").choices;
  const left = Object.keys(words).filter((key) => !view.conditions.includes(key));
  return html`
    <p class="say">${t.theatre.beforeEachReadingTap}</p>
    <ol class="read-lines">${Object.entries(words).map(([key, word]) => line(view, key, word))}</ol>
    <p class="say" role="status">${left.length === 0 ? t.theatre.allConfirmed : t.theatre.notConfirmed(left.length)}</p>
    ${left.length === 0 ? "" : html`<p class="hint">${t.theatre.readingCanSavedWithout}</p>`}`;
}

/** @param {TheatreView} view @param {string} key @param {string} word */
function line(view, key, word) {
  const on = view.conditions.includes(key);
  return html`<li><button type="button" class="read-line"
    aria-pressed=${on ? "true" : "false"} data-condition=${key} @click=${() => view.condition(key, !on)}>
    <span class="tick" aria-hidden="true">${on ? "✓" : ""}</span><span class="what">${word}</span></button></li>`;
}
