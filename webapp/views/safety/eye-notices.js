import { html, nothing } from "lit";
import { SCHEMA } from "../../store/store.js";
import "./damaged-eye.js";
import "./store-notices.js";
import { t } from "../../words/words.js";

/**
 * What must be known before anything is entered into this eye.
 * @param {import("../../store/store.js").Case | null} record @param {boolean} shared open in another window too
 */
export function eyeNotices(record, shared) {
  return html`${shared ? html`<gl-banner kind="caution" heading=${t.safety.openAnotherWindowToo}><p>${t.safety.bothWindowsChangeSame}</p></gl-banner>` : nothing}
    ${record && record.schema > SCHEMA ? html`<gl-banner kind="stop" heading=${t.safety.readOnly}><p>${t.safety.newerVersionAppWrote}</p></gl-banner>` : nothing}`;
}
