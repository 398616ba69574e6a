/** The operation note and the follow-up card, made by the core: to read, copy, share or print. */
import { html, nothing } from "lit";
import { withState } from "../stage/status.js";

/** @typedef {import("./follow-up-view.js").FollowUpView} FollowUpView */
/** @typedef {"follow_up_card" | "operation_note"} Which */

/** @type {Record<Which, string>} */
const NAMES = { follow_up_card: "Card for the local clinic", operation_note: "Operation note" };

/** @param {FollowUpView} view */
export function notesCard(view) {
  return html`<gl-card heading="Card and note" class="notes">
    <div class="row screen-only" role="group" aria-label="Which text">${Object.entries(NAMES).map(([key, name]) => html`<button type="button"
      data-note=${key} aria-expanded=${view.note === key ? "true" : "false"} @click=${() => view.showNote(/** @type {Which} */ (key))}>${name}</button>`)}</div>
    ${view.note ? withState(view.notes, () => text(view, /** @type {Which} */ (view.note))) : nothing}</gl-card>`;
}

/** @param {FollowUpView} view @param {Which} which */
function text(view, which) {
  const words = view.notes.value[which];
  return html`<div class="stack">
    <p class="hint screen-only">${view.notes.value.about}</p>
    <label class="screen-only check"><input type="checkbox" .checked=${view.noteDates} @change=${() => view.toggleDates()}> With dates</label>
    <div class="label-lines" aria-hidden="true"><p>Patient label</p><p></p><p></p><p>Surgeon, place, telephone</p><p></p></div>
    <pre class="note-text" data-role="note" tabindex="0">${words}</pre>
    <div class="row screen-only">
      <button type="button" class="main" @click=${() => copy(view, words)}>Copy</button>
      ${"share" in navigator ? html`<button type="button" @click=${() => share(view, NAMES[which], words)}>Share</button>` : nothing}
      <button type="button" @click=${() => window.print()}>Print</button></div>
    <p class="screen-only" role="status">${view.noteSaid}</p></div>`;
}

/** @param {FollowUpView} view @param {string} words */
async function copy(view, words) {
  try {
    await navigator.clipboard.writeText(words);
    view.say("✓ Copied. Paste it where it is wanted.");
  } catch {
    view.say("This browser does not copy by itself. Press and hold the text, then choose Copy.");
  }
}

/** @param {FollowUpView} view @param {string} title @param {string} words */
async function share(view, title, words) {
  try {
    await navigator.share({ title, text: words });
    view.say("✓ Handed on.");
  } catch (reason) {
    const left = /** @type {Error} */ (reason).name === "AbortError";
    view.say(left ? "Not shared." : "Sharing did not work here. Use Copy.");
  }
}
