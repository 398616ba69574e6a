/** What stands around a result: out of date, waiting, failed, cautions. */
import { html, nothing } from "lit";
import { status } from "../../worker/client.js";
import { t } from "../../words/words.js";

/** @typedef {import("./live-answer.js").LiveAnswer} LiveAnswer */
/** @typedef {{code?: string, field?: string | null, message: string}} Caution */

/**
 * A result with its state: greyed and marked while out of date, replaced by the reason when it failed.
 * @param {LiveAnswer} answer
 * @param {() => unknown} draw draws the value; called only when there is one
 */
export function withState(answer, draw) {
  return html`
    ${failure(answer)}
    ${answer.value === null && !answer.failure ? html`<p class="waiting" role="status">${status.state === "ready" ? t.stage.calculating : status.sentence}</p>` : nothing}
    ${answer.stale ? html`<p class="stale-mark" role="status">${t.stage.outDateInputHas}</p>` : nothing}
    ${answer.value === null ? nothing
      : html`<div class=${answer.stale || answer.failure ? "result stale" : "result"}
          aria-busy=${answer.stale ? "true" : "false"}>${draw()}</div>`}
  `;
}

/** @param {LiveAnswer} answer */
function failure(answer) {
  if (!answer.failure) return nothing;
  const program = answer.failure.code.startsWith("core");
  return html`<gl-banner kind="stop">${answer.failure.message}
    ${program ? html`${t.stage.youCanStillEnter} <button type="button" class="link"
      @click=${() => answer.retry()}>${t.stage.calculateAgain}</button>` : nothing}</gl-banner>`;
}

/**
 * Cautions, each with its words; one that names a field can be tapped to go there.
 * @param {Caution[] | null | undefined} list
 * @param {((field: string) => void) | null} [goTo]
 */
export function cautions(list, goTo = null) {
  if (!list?.length) return nothing;
  return html`<div class="cautions">${list.map((item) => html`
    <gl-banner kind="caution">${item.message}
      ${item.field && goTo ? html`<button type="button" class="link"
        @click=${() => goTo(/** @type {string} */ (item.field))}>${t.stage.goField}</button>` : nothing}
    </gl-banner>`)}</div>`;
}

/** @param {"impossible" | "unusual" | "missing" | string} severity @returns {string} */
export function severityWord(severity) {
  return /** @type {Record<string, string>} */ ({ impossible: t.stage.impossible, unusual: t.stage.unusual, missing: t.stage.missing })[severity]
    ?? severity;
}
