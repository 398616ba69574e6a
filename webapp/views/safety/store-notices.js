import { LitElement, html, nothing } from "lit";
import { when } from "../../elements/format.js";
import { safetyStyles } from "./styles.js";
import { tried } from "./tried.js";
import { atRisk } from "../../store/backup.js";
import { riskWords } from "./backup-card.js";
import "./damaged-eye.js";
import { t } from "../../words/words.js";
import { side } from "../../words/side.js";

/** @typedef {import("../../store/store.js").Store} Store */

/** So many eyes without a backup are worth a caution; fewer, a quiet line. */
const MANY = 3;

/** What is wrong with the records as a whole: gone, behind their second copy, or damaged. */
export class StoreNotices extends LitElement {
  static properties = {
    store: { attribute: false },
    gone: { state: true },
    ahead: { state: true },
    damaged: { state: true },
    risk: { state: true },
    busy: { state: true },
    fault: { state: true },
  };

  static styles = safetyStyles;

  constructor() {
    super();
    /** @type {Store | null} */
    this.store = null;
    /** @type {import("../../store/copy.js").Count | null} */
    this.gone = null;
    /** @type {import("../../store/store.js").Ahead | null} */
    this.ahead = null;
    /** @type {import("../../store/store.js").Damaged[]} */
    this.damaged = [];
    /** How many eyes no backup file holds as they are now. */
    this.risk = 0;
    this.busy = "";
    this.fault = "";
    this.look = () => { void this.load(); };
  }

  connectedCallback() {
    super.connectedCallback();
    this.store?.addEventListener("change", this.look);
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    this.store?.removeEventListener("change", this.look);
  }

  firstUpdated() {
    this.store?.addEventListener("change", this.look);
    return this.load();
  }

  async load() {
    const { store } = this;
    if (!store || store.locked) return;
    try {
      [this.gone, this.ahead, this.damaged] = await Promise.all([store.missing(), store.ahead(), store.damaged()]);
      this.risk = (await atRisk(store)).codes.length;
    } catch (reason) {
      this.fault = String(/** @type {Error} */ (reason).message);
    }
  }

  async startEmpty() {
    await this.store?.startEmpty();
    await this.load();
  }

  async adopt() {
    await tried(this, t.safety.takingBack, async () => {
      if (this.ahead) await this.store?.adopt(this.ahead);
    });
  }

  async leave() {
    await this.store?.forgetCopy();
    await this.load();
  }

  render() {
    return html`${this.gone ? this.renderGone(this.gone) : nothing}${this.ahead ? this.renderAhead(this.ahead) : nothing}
      ${this.damaged.map((eye) => html`<gl-damaged-eye .store=${this.store} .eye=${eye}></gl-damaged-eye>`)}
      ${this.risk ? this.renderRisk() : nothing}
      ${this.fault ? html`<gl-banner kind="stop" heading=${t.safety.didNotWork}><p>${this.fault}</p></gl-banner>` : nothing}`;
  }

  /** @param {import("../../store/copy.js").Count} count */
  renderGone({ eyes, at }) {
    return html`<gl-banner kind="stop" heading=${t.safety.recordsGoneFromDevice}><div class="stack">
      <p>${t.safety.eyesWereHereLast(eyes, when(at))}</p>
      <p>${t.safety.restoreYourLatestBackup}</p>
      <div class="row"><a class="button main" href="#/setup">${t.safety.restoreBackup}</a></div>
      <gl-hold label=${t.safety.thereNoBackupStart} @confirm=${this.startEmpty}></gl-hold></div></gl-banner>`;
  }

  renderRisk() {
    const link = html`<a href="#/setup">${t.safety.makeBackup}</a>`;
    if (this.risk < MANY) return html`<p class="soft">${riskWords(this.risk)}. ${link}</p>`;
    return html`<gl-banner kind="caution" heading=${riskWords(this.risk)}><p>${t.safety.theyWouldLost} ${link}</p></gl-banner>`;
  }

  /** @param {import("../../store/store.js").Ahead} ahead */
  renderAhead({ code, record, at }) {
    return html`<gl-banner kind="stop" heading=${t.safety.lastChangeMissing(code)}><div class="stack">
      <p>${t.safety.secondCopyEyeSaved(side(record.eye), code, when(at))}</p>
      <div class="row"><button type="button" class="main" ?disabled=${Boolean(this.busy)} @click=${this.adopt}>${t.safety.takeSecondCopy}</button>
      <button type="button" @click=${this.leave}>${t.safety.leave}</button></div></div></gl-banner>`;
  }
}

customElements.define("gl-store-notices", StoreNotices);
