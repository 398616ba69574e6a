import { LitElement, html, nothing } from "lit";
import { buttons, shared } from "../../elements/shared-style.js";
import { offline } from "../../store/offline.js";
import { rich } from "../../words/rich.js";
import { t } from "../../words/words.js";
import { applyUpdate, comingNumbers, ownNumbers, place } from "../../store/update.js";

/** @typedef {import("../../store/update.js").NumberChange} NumberChange */

const SEEN = "numbers";

/** A version that waits, what it changes in numbers, and after the change the same once more. */
export class UpdateNotice extends LitElement {
  static properties = {
    store: { attribute: false },
    coming: { state: true },
    changed: { state: true },
    left: { state: true },
    busy: { state: true },
    fault: { state: true },
  };

  static styles = [shared, buttons];

  constructor() {
    super();
    /** @type {import("../../store/store.js").Store | null} */
    this.store = null;
    /** What the version that waits changes. @type {NumberChange[] | null} */
    this.coming = null;
    /** What this version changed and nobody has confirmed. @type {NumberChange[]} */
    this.changed = [];
    /** Why a newer version was left. */
    this.left = "";
    this.busy = false;
    this.fault = "";
    this.refresh = () => { void this.look(); };
  }

  connectedCallback() {
    super.connectedCallback();
    offline.addEventListener("change", this.refresh);
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    offline.removeEventListener("change", this.refresh);
  }

  async firstUpdated() {
    await Promise.all([this.look(), this.compare().catch(() => {})]);
    this.left = (await place().catch(() => null))?.why ?? "";
  }

  async look() {
    if (!offline.updateReady) this.coming = null;
    else if (this.coming === null) this.coming = await comingNumbers().catch(() => null);
    this.requestUpdate();
  }

  /** A device that has never seen a version has nothing to be told of. */
  async compare() {
    const own = await ownNumbers();
    const seen = await this.store?.preference(SEEN);
    if (!seen) await this.confirm(own);
    else this.changed = own.filter(({ text }) => !seen.includes(text));
  }

  /** @param {NumberChange[]} own */
  async confirm(own) {
    await this.store?.preference(SEEN, own.map(({ text }) => text));
    this.changed = [];
  }

  async use() {
    this.busy = true;
    this.fault = await applyUpdate();
    this.busy = false;
  }

  render() {
    return html`${this.renderLeft()}${this.renderChanged()}${offline.updateReady ? this.renderReady() : nothing}`;
  }

  renderReady() {
    return html`<gl-banner kind="info" heading=${t.update.newVersionReady}>${this.renderComing()}
      <p>${t.update.usedAfterClosing}</p>
      <button type="button" ?disabled=${this.busy} @click=${this.use}>${this.busy ? t.update.checkingItsFiles : t.update.useNow}</button>
      ${this.fault ? html`<p role="alert">${rich(t.update.notNow(this.fault), { b: (words) => html`<b>${words}</b>` })}</p>` : nothing}</gl-banner>`;
  }

  renderComing() {
    if (this.coming === null) return html`<p>${t.update.comingNotReadable}</p>`;
    return this.coming.length ? html`<p><b>${t.update.itChangesNumbers}</b></p>${list(this.coming)}` : html`<p>${t.update.itChangesNone}</p>`;
  }

  renderChanged() {
    if (!this.changed.length) return nothing;
    return html`<gl-banner kind="caution" heading=${t.update.changedNumbers}>${list(this.changed)}
      <p>${t.update.lookAgainAtPlans}</p>
      <button type="button" @click=${async () => this.confirm(await ownNumbers())}>${t.update.haveRead}</button></gl-banner>`;
  }

  renderLeft() {
    if (!this.left) return nothing;
    return html`<gl-banner kind="caution" heading=${t.update.beforeUsedAgain}><p>${t.update.newerLeftRecordsKept(this.left)}</p></gl-banner>`;
  }
}

/** @param {NumberChange[]} changes */
const list = (changes) => html`<ul>${changes.map(({ version, text }) => html`<li>${t.update.numberChange(text, version)}</li>`)}</ul>`;

customElements.define("gl-update-notice", UpdateNotice);
