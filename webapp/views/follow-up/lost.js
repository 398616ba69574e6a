/** The end of a follow-up that will not go on: a date and a reason; taken back when the eye is seen again. */
import { html, nothing } from "lit";
import { localChoice, localLine } from "../stage/local-inputs.js";
import { commit } from "../stage/records.js";
import { today } from "../today.js";
import { t } from "../../words/words.js";

/** @typedef {import("./follow-up-view.js").FollowUpView} FollowUpView */

/** @param {FollowUpView} view */
export function lostCard(view) {
  const answer = view.followUp.value;
  if (!view.case?.surgery_on || !answer) return nothing;
  if (answer.lost) return html`<gl-banner kind="info" heading=${t.followUp.noVisitDue} data-role="lost">${t.followUp.staysSeriesAsLost(answer.lost.text)}
    <button type="button" class="link" @click=${() => commit(view, "lost_to_follow_up", null)}>${t.followUp.eyeFollowedAgain}</button></gl-banner>`;
  const { values } = view.gone;
  const ready = values.on && values.on <= today() && values.lost_reason;
  return html`<details class="lost"><summary>${t.followUp.noFurtherVisitCan}</summary>
    <div class="fields">${localLine(view, view.gone, "on")} ${localChoice(view, view.gone, "lost_reason")}
      <button type="button" class="wide" ?disabled=${!ready} @click=${() => close(view)}>${t.followUp.endFollowUpEye}</button>
      ${ready ? nothing : html`<p class="hint">${t.followUp.enterDateFromWhich}</p>`}</div></details>`;
}

/** @param {FollowUpView} view */
async function close(view) {
  const { on, lost_reason } = view.gone.values;
  try {
    await commit(view, "lost_to_follow_up", { on, reason: lost_reason });
    view.gone.clear();
  } catch {
    // The shell says what could not be saved.
  }
}
