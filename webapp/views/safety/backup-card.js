import { LitElement, html, nothing } from "lit";
import { when } from "../../elements/format.js";
import { atRisk, handedOver, makeBackup } from "../../store/backup.js";
import { OUTCOME_WORDS, canShare, save, share } from "../export/hand-over-file.js";
import { safetyStyles } from "./styles.js";
import { tried } from "./tried.js";
import { t } from "../../words/words.js";

/** @typedef {import("../../store/store.js").Store} Store */

/** One file with everything, made and tested before the tap that hands it over; needs no calculations. */
export class BackupCard extends LitElement {
  static properties = {
    store: { attribute: false },
    made: { state: true },
    risk: { state: true },
    told: { state: true },
    busy: { state: true },
    fault: { state: true },
  };

  static styles = safetyStyles;

  constructor() {
    super();
    /** @type {Store | null} */
    this.store = null;
    /** @type {import("../../store/backup.js").Made | null} */
    this.made = null;
    /** @type {{codes: string[], last: any} | null} */
    this.risk = null;
    this.told = "";
    this.busy = "";
    this.fault = "";
    this.again = () => { void this.make(); };
  }

  connectedCallback() {
    super.connectedCallback();
    for (const name of ["change", "sealed"]) this.store?.addEventListener(name, this.again);
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    for (const name of ["change", "sealed"]) this.store?.removeEventListener(name, this.again);
  }

  firstUpdated() {
    for (const name of ["change", "sealed"]) this.store?.addEventListener(name, this.again);
    return this.make();
  }

  async make() {
    await tried(this, t.safety.makingTestingFile, async () => {
      const store = /** @type {Store} */ (this.store);
      this.made = null;
      this.risk = await atRisk(store);
      this.made = await makeBackup(store);
    });
  }

  async share() {
    const made = /** @type {import("../../store/backup.js").Made} */ (this.made);
    const outcome = await share(made.file);
    if (outcome === "shared") await this.done(t.safety.handedOver);
    else this.told = t.safety.notBackedUp(OUTCOME_WORDS[outcome](made.file.name));
  }

  async saveFile() {
    save(/** @type {import("../../store/backup.js").Made} */ (this.made).file);
    await this.done(t.safety.savedDevicesDownloadsMove);
  }

  /** @param {string} how */
  async done(how) {
    const store = /** @type {Store} */ (this.store);
    const made = /** @type {import("../../store/backup.js").Made} */ (this.made);
    await handedOver(store, made);
    this.risk = await atRisk(store);
    this.told = t.safety.was(made.file.name, how);
  }

  render() {
    return html`<gl-card heading=${t.safety.backup}><div class="stack">${this.renderRisk()}
      <p>${t.safety.oneFileEveryEye(this.store?.sealed ? t.safety.sealedOpensYourPassphrase : t.safety.notSealedWhoeverHas)}</p>
      ${this.busy ? html`<p role="status" class="soft">${this.busy}</p>` : nothing}
      ${this.fault ? html`<gl-banner kind="stop" heading=${t.safety.noBackup}><p>${this.fault}</p></gl-banner>` : nothing}
      ${this.made ? this.renderMade(this.made) : nothing}<p role="status">${this.told}</p></div></gl-card>`;
  }

  renderRisk() {
    if (!this.risk) return nothing;
    const { codes, last } = this.risk;
    const before = last ? html`${t.safety.lastBackup(when(last.at))}` : t.safety.noBackupWasMade;
    if (!codes.length) return html`<gl-banner kind="done" heading=${t.safety.everyEyeBackup}><p>${before}</p></gl-banner>`;
    return html`<gl-banner kind="caution" heading=${riskWords(codes.length)}><p>${before}</p></gl-banner>`;
  }

  /** @param {import("../../store/backup.js").Made} made */
  renderMade({ file, counts }) {
    const sheet = canShare(file);
    return html`<p><b>${file.name}</b><br>${t.safety.testedEyesChanges(counts.eyes, counts.log)}</p>
      ${sheet ? html`<button type="button" class="main" @click=${this.share}>${t.safety.handOverShareSheet}</button>` : nothing}
      <button type="button" class=${sheet ? "" : "main"} @click=${this.saveFile}>${t.safety.saveBackupFile}</button>`;
  }
}

/** @param {number} count */
export const riskWords = (count) => (t.safety.eyesOnlyPhone(count));

customElements.define("gl-backup-card", BackupCard);
