import { LitElement, html, nothing } from "lit";
import { safetyStyles } from "./styles.js";
import { tried } from "./tried.js";
import { save } from "../export/hand-over-file.js";
import { t } from "../../words/words.js";

/** @typedef {import("../../store/store.js").Store} Store */

/** A record that cannot be shown: what is wrong, what is still readable, and the ways out. Nothing changes by itself. */
export class DamagedEye extends LitElement {
  static properties = {
    store: { attribute: false },
    eye: { attribute: false },
    rebuilt: { state: true },
    busy: { state: true },
    fault: { state: true },
  };

  static styles = safetyStyles;

  constructor() {
    super();
    /** @type {Store | null} */
    this.store = null;
    /** @type {import("../../store/store.js").Damaged | null} */
    this.eye = null;
    /** @type {import("../../store/store.js").Case | null} */
    this.rebuilt = null;
    this.busy = "";
    this.fault = "";
  }

  async firstUpdated() {
    if (this.eye) this.rebuilt = await this.store?.fromLog(this.eye.code) ?? null;
  }

  get text() {
    return JSON.stringify(this.eye?.raw, (_key, value) => (value instanceof Uint8Array ? Array.from(value) : value), 1);
  }

  saveFile() {
    save(new File([this.text], `guyline-damaged-${this.eye?.code}.json`, { type: "application/json" }));
  }

  async rebuild() {
    await tried(this, t.safety.puttingTogether, async () => { await this.store?.rebuild(/** @type {string} */ (this.eye?.code)); });
  }

  render() {
    if (!this.eye) return nothing;
    return html`<gl-banner kind="stop" heading=${t.safety.damaged(this.eye.code)}><div class="stack">
      <p>${t.safety.notUsedNotChanged(this.eye.why)}</p>
      ${this.rebuilt ? html`<p>${t.safety.itsLogChangesWhole(this.rebuilt.updated_at?.slice(0, 16).replace("T", " "))}</p>` : nothing}
      <div class="row">${this.rebuilt ? html`<button type="button" ?disabled=${Boolean(this.busy)} @click=${this.rebuild}>${t.safety.putTogetherFromIts}</button>` : nothing}
      <button type="button" @click=${this.saveFile}>${t.safety.saveAsFile}</button></div>
      ${this.rebuilt ? nothing : html`<p>${t.safety.restoreFromBackupFile}</p>`}
      ${this.fault ? html`<p>${this.fault}</p>` : nothing}
      <details><summary>${t.safety.whatReadable}</summary><pre tabindex="0">${this.text}</pre></details></div></gl-banner>`;
  }
}

customElements.define("gl-damaged-eye", DamagedEye);
