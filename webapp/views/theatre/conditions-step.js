/** First screen of a reading: what must hold before it can mean anything, in five keys; kept with the reading. */
import { html } from "lit";
import { fieldOf } from "../../elements/format.js";
import { t } from "../../words/words.js";

/** @typedef {import("./theatre-view.js").TheatreView} TheatreView */
/** @typedef {keyof typeof t.hands.groups} Group */

/** What each key confirms, by the glossary's words. @type {Record<Group, string[]>} */
export const GROUPS = {
  pressure: ["iop_measured", "infusion_stated"],
  cornea: ["cornea_smooth"],
  fill: ["viscoelastic_out", "no_air_or_gas"],
  speculum: ["speculum_loosened", "hands_off"],
  centration: ["optic_centred", "iridectomy_known"],
};

/** @param {TheatreView} view */
export function conditionsStep(view) {
  const groups = /** @type {Group[]} */ (Object.keys(GROUPS));
  const left = groups.filter((group) => !holds(view, group)).length;
  return html`
    <p class="say">${t.hands.tapWhatIsSo}</p>
    <ol class="read-lines">${groups.map((group) => line(view, group))}</ol>
    <p class="say" role="status">${left === 0 ? t.theatre.allConfirmed : t.theatre.notConfirmed(left)}</p>
    ${left === 0 ? "" : html`<p class="hint">${t.theatre.readingCanSavedWithout}</p>`}`;
}

/** @param {TheatreView} view @param {Group} group @returns {boolean} */
function holds(view, group) {
  return GROUPS[group].every((word) => view.conditions.includes(word));
}

/** @param {TheatreView} view @param {Group} group */
function line(view, group) {
  const on = holds(view, group);
  const words = fieldOf("conditions").choices;
  return html`<li><button type="button" class="read-line"
    aria-pressed=${on ? "true" : "false"} data-condition=${group} @click=${() => view.condition(GROUPS[group], !on)}>
    <span class="tick" aria-hidden="true">${on ? "✓" : ""}</span>
    <span class="what">${t.hands.groups[group]}<small>${GROUPS[group].map((word) => words[word]).join("; ")}</small></span></button></li>`;
}
