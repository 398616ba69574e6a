/** What the own eyes moved, in words; the switch to ignore them is there whenever it matters. */
import { html, nothing } from "lit";
import { range, signed } from "../../elements/format.js";
import { rich } from "../../words/rich.js";
import { t } from "../../words/words.js";

/** @typedef {import("../stage/fields.js").CaseHolder} Holder */

/**
 * @param {Holder} view @param {import("./own-eyes-of.js").OwnEyesOf} own
 * @param {{used: number, ignored: boolean, moved: any} | null} history from the core's answer
 */
export function ownEyesSection(view, own, history) {
  if (own.fault) return html`<gl-banner kind="caution" heading=${t.learning.withoutYourOwnEyes}>${t.learning.theyCouldNotRead(own.fault)}</gl-banner>`;
  if (!own.surgeon?.eyes && !view.case?.ignore_history) return nothing;
  return html`<section data-role="own-eyes"><h3>${t.learning.yourOwnEyes}</h3>
    ${view.case?.ignore_history ? html`<gl-banner kind="caution" heading=${t.learning.ignoredEye}>${t.learning.planMadeAsIf}</gl-banner>`
      : history ? html`<p>${movedWords(history)}</p>` : nothing}
    <gl-flag field="ignore_history" path="ignore_history" .value=${Boolean(view.case?.ignore_history)}></gl-flag>
    <a class="button quiet" href="#/learning">${t.learning.whatYourEyesHave}</a></section>`;
}

/** @param {{used: number, moved: any}} history */
function movedWords({ used, moved }) {
  return html`${rich(t.learning.yourPlan(eyes(used), signed(moved.mean_d, "error_d"), range(moved.low80_d, moved.high80_d, "error_d")), { strong: (words) => html`<strong>${words}</strong>` })}`;
}

/** @param {number} count */
function eyes(count) {
  return t.learning.eyesMove(count);
}

/** In theatre: one line. @param {{used: number, ignored: boolean, moved: any} | null | undefined} history */
export function ownEyesLine(history) {
  if (!history) return nothing;
  if (history.ignored) return html`<p class="say" data-role="own-eyes">${t.learning.yourOwnEyesIgnored}</p>`;
  if (!history.used || history.moved.mean_d === null) return nothing;
  return html`<p class="say" data-role="own-eyes">${t.learning.yourExpectedFinal(eyes(history.used), signed(history.moved.mean_d, "error_d"))}</p>`;
}
