/** What the own eyes moved, in words; the switch to ignore them is there whenever it matters. */
import { html, nothing } from "lit";
import { range, signed } from "../../elements/format.js";

/** @typedef {import("../stage/fields.js").CaseHolder} Holder */

/**
 * @param {Holder} view @param {import("./own-eyes-of.js").OwnEyesOf} own
 * @param {{used: number, ignored: boolean, moved: any} | null} history from the core's answer
 */
export function ownEyesSection(view, own, history) {
  if (own.fault) return html`<gl-banner kind="caution" heading="Without your own eyes">They could not be read, so this plan
    starts from the usual assumptions. ${own.fault}</gl-banner>`;
  if (!own.surgeon?.eyes && !view.case?.ignore_history) return nothing;
  return html`<section data-role="own-eyes"><h3>Your own eyes</h3>
    ${view.case?.ignore_history ? html`<gl-banner kind="caution" heading="Ignored for this eye">The plan is made as if nothing was learned.</gl-banner>`
      : history ? html`<p>${movedWords(history)}</p>` : nothing}
    <gl-flag field="ignore_history" path="ignore_history" .value=${Boolean(view.case?.ignore_history)}></gl-flag>
    <a class="button quiet" href="#/learning">What your eyes have taught</a></section>`;
}

/** @param {{used: number, moved: any}} history */
function movedWords({ used, moved }) {
  return html`Your ${eyes(used)} this plan by <strong>${signed(moved.mean_d, "error_d")}</strong>
    (80 %: ${range(moved.low80_d, moved.high80_d, "error_d")}).`;
}

/** @param {number} count */
function eyes(count) {
  return count === 1 ? "one eye moves" : `${count} eyes move`;
}

/** In theatre: one line. @param {{used: number, ignored: boolean, moved: any} | null | undefined} history */
export function ownEyesLine(history) {
  if (!history) return nothing;
  if (history.ignored) return html`<p class="say" data-role="own-eyes">Your own eyes are ignored for this eye.</p>`;
  if (!history.used || history.moved.mean_d === null) return nothing;
  return html`<p class="say" data-role="own-eyes">Your ${eyes(history.used)} the expected final by ${signed(history.moved.mean_d, "error_d")}.</p>`;
}
