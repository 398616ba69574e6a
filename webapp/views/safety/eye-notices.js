import { html, nothing } from "lit";
import { SCHEMA } from "../../store/store.js";
import "./damaged-eye.js";
import "./store-notices.js";

/**
 * What must be known before anything is entered into this eye.
 * @param {import("../../store/store.js").Case | null} record @param {boolean} shared open in another window too
 */
export function eyeNotices(record, shared) {
  return html`${shared ? html`<gl-banner kind="caution" heading="Open in another window too"><p>Both windows change the same eye, and each shows what the
    other has saved. Close one of them before you operate.</p></gl-banner>` : nothing}
    ${record && record.schema > SCHEMA ? html`<gl-banner kind="stop" heading="Read only"><p>A newer version of the app wrote this eye. It can be read,
      exported and backed up here, and not changed. Update the app to go on.</p></gl-banner>` : nothing}`;
}
