/** The operation note and the follow-up card, made by the core: to read, copy, share or print. */
import { html, nothing } from "lit";
import { withState } from "../stage/status.js";
import { t } from "../../words/words.js";

/** @typedef {import("./follow-up-view.js").FollowUpView} FollowUpView */
/** @typedef {"follow_up_card" | "operation_note"} Which */

/** @type {Record<Which, string>} */
const NAMES = { follow_up_card: t.followUp.cardLocalClinic, operation_note: t.followUp.operationNote };

/** @param {FollowUpView} view */
export function notesCard(view) {
  return html`<gl-card heading=${t.followUp.cardNote} class="notes">
    <div class="row screen-only" role="group" aria-label=${t.followUp.whichText}>${Object.entries(NAMES).map(([key, name]) => html`<button type="button"
      data-note=${key} aria-expanded=${view.note === key ? "true" : "false"} @click=${() => view.showNote(/** @type {Which} */ (key))}>${name}</button>`)}</div>
    ${view.note ? withState(view.notes, () => text(view, /** @type {Which} */ (view.note))) : nothing}</gl-card>`;
}

/** @param {FollowUpView} view @param {Which} which */
function text(view, which) {
  const words = view.notes.value[which];
  return html`<div class="stack">
    <p class="hint screen-only">${view.notes.value.about}</p>
    <label class="screen-only check"><input type="checkbox" .checked=${view.noteDates} @change=${() => view.toggleDates()}> ${t.followUp.dates}</label>
    <div class="label-lines" aria-hidden="true"><p>${t.followUp.patientLabel}</p><p></p><p></p><p>${t.followUp.surgeonPlaceTelephone}</p><p></p></div>
    <pre class="note-text" data-role="note" tabindex="0">${words}</pre>
    <div class="row screen-only">
      <button type="button" class="main" @click=${() => copy(view, words)}>${t.followUp.copy}</button>
      ${"share" in navigator ? html`<button type="button" @click=${() => share(view, NAMES[which], words)}>${t.followUp.share}</button>` : nothing}
      <button type="button" @click=${() => window.print()}>${t.followUp.print}</button></div>
    <p class="screen-only" role="status">${view.noteSaid}</p></div>`;
}

/** @param {FollowUpView} view @param {string} words */
async function copy(view, words) {
  try {
    await navigator.clipboard.writeText(words);
    view.say(t.followUp.copiedPasteWhereWanted);
  } catch {
    view.say(t.followUp.browserDoesNotCopy);
  }
}

/** @param {FollowUpView} view @param {string} title @param {string} words */
async function share(view, title, words) {
  try {
    await navigator.share({ title, text: words });
    view.say(t.followUp.handed);
  } catch (reason) {
    const left = /** @type {Error} */ (reason).name === "AbortError";
    view.say(left ? t.followUp.notShared : t.followUp.sharingDidNotWork);
  }
}
