import { LitElement, html, nothing } from "lit";
import { safetyStyles } from "./styles.js";
import { tried } from "./tried.js";
import { t } from "../../words/words.js";

/** @typedef {import("../../store/store.js").Store} Store */

/** Nothing of any eye is on the screen, nor in memory, until the passphrase is entered. */
export class LockScreen extends LitElement {
  static properties = {
    store: { attribute: false },
    kind: { state: true },
    busy: { state: true },
    fault: { state: true },
  };

  static styles = safetyStyles;

  constructor() {
    super();
    /** @type {Store | null} */
    this.store = null;
    /** @type {"passphrase" | "recovery"} */
    this.kind = "passphrase";
    this.busy = "";
    this.fault = "";
  }

  get box() {
    return /** @type {HTMLInputElement} */ (this.renderRoot.querySelector("input"));
  }

  /** @param {SubmitEvent} event */
  async unlock(event) {
    event.preventDefault();
    const secret = this.box.value;
    await tried(this, t.safety.checking, async () => { await this.store?.unlock(secret, this.kind); });
  }

  /** @param {"passphrase" | "recovery"} kind */
  turnTo(kind) {
    this.kind = kind;
    this.fault = "";
  }

  render() {
    const recovery = this.kind === "recovery";
    return html`<h1>${t.safety.locked}</h1><p>${t.safety.eyesDeviceSealed}</p>
      <form class="stack" @submit=${this.unlock}>
        <label>${recovery ? t.safety.recoveryKey : t.safety.passphrase}<input type=${recovery ? "text" : "password"} autocomplete="off" autocapitalize="off"
          spellcheck="false" aria-describedby="lock-fault"></label>
        <div id="lock-fault" role="status">${this.fault ? html`<gl-banner kind="stop" heading=${t.safety.notOpened}><p>${this.fault}</p></gl-banner>` : nothing}</div>
        <button class="main wide" ?disabled=${Boolean(this.busy)}>${this.busy || t.safety.open}</button></form>
      <button type="button" class="quiet" @click=${() => this.turnTo(recovery ? "passphrase" : "recovery")}>
        ${recovery ? t.safety.usePassphrase : t.safety.useRecoveryKey}</button>
      <p class="soft small">${t.safety.withoutPassphraseRecoveryKey}</p>`;
  }
}

customElements.define("gl-lock-screen", LockScreen);
