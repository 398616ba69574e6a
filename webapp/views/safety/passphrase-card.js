import { LitElement, html, nothing } from "lit";
import { SHORTEST } from "../../store/keyring.js";
import { IDLE_MINUTES, USUAL_MINUTES } from "../../store/idle.js";
import { safetyStyles } from "./styles.js";
import { tried } from "./tried.js";
import { t } from "../../words/words.js";

/** @typedef {import("../../store/store.js").Store} Store */

/** The optional passphrase: set it, change it, take it away, lock now. */
export class PassphraseCard extends LitElement {
  static properties = {
    store: { attribute: false },
    recovery: { state: true },
    minutes: { state: true },
    told: { state: true },
    busy: { state: true },
    fault: { state: true },
  };

  static styles = safetyStyles;

  constructor() {
    super();
    /** @type {Store | null} */
    this.store = null;
    /** Shown once, until it is confirmed as written down. */
    this.recovery = "";
    this.minutes = USUAL_MINUTES;
    this.told = "";
    this.busy = "";
    this.fault = "";
  }

  async firstUpdated() {
    this.minutes = await this.store?.preference("idle") ?? USUAL_MINUTES;
  }

  /** What was typed in a form, which is emptied. @param {SubmitEvent} event @returns {string[]} */
  typed(event) {
    event.preventDefault();
    const boxes = [.../** @type {HTMLFormElement} */ (event.target).querySelectorAll("input")];
    return boxes.map((box) => box.value);
  }

  /** @param {string} first @param {string} second */
  sameTwice(first, second) {
    if (first !== second) throw new Error(t.safety.twoNotSameType);
    return first;
  }

  /** @param {SubmitEvent} event */
  async set(event) {
    const [first, second] = this.typed(event);
    await tried(this, t.safety.sealingEveryRecord, async () => {
      this.recovery = await /** @type {Store} */ (this.store).setPassphrase(this.sameTwice(first, second));
    });
  }

  /** @param {SubmitEvent} event */
  async change(event) {
    const [old, first, second] = this.typed(event);
    const form = /** @type {HTMLFormElement} */ (event.target);
    await tried(this, t.safety.changing, async () => {
      await this.store?.changePassphrase(old, this.sameTwice(first, second));
      form.reset();
      this.told = t.safety.passphraseWasChangedRecovery;
    });
  }

  /** @param {SubmitEvent} event */
  async takeAway(event) {
    const [passphrase] = this.typed(event);
    await tried(this, t.safety.unsealingEveryRecord, async () => {
      await this.store?.removePassphrase(passphrase);
      this.told = t.safety.thereNoPassphraseAny;
    });
  }

  /** @param {Event} event */
  async chooseMinutes(event) {
    this.minutes = Number(/** @type {HTMLSelectElement} */ (event.target).value);
    await this.store?.preference("idle", this.minutes);
    this.dispatchEvent(new CustomEvent("idle-chosen", { detail: { minutes: this.minutes }, bubbles: true, composed: true }));
  }

  render() {
    return html`<gl-card heading=${t.safety.passphrase}><div class="stack">
      ${this.recovery ? this.renderRecovery() : this.store?.sealed ? this.renderSealed() : this.renderOpen()}
      ${this.busy ? html`<p role="status">${t.safety.doNotCloseApp(this.busy)}</p>` : nothing}
      ${this.fault ? html`<gl-banner kind="stop" heading=${t.safety.nothingWasChanged}><p>${this.fault}</p></gl-banner>` : nothing}
      <p role="status">${this.told}</p></div></gl-card>`;
  }

  renderOpen() {
    return html`<p>${t.safety.withoutPassphraseWhoeverCan}</p>
      <form class="stack" @submit=${this.set}>${box(t.safety.newPassphrase)}${box(t.safety.sameAgain)}
        <p class="soft small">${t.safety.leastCharactersSeveralWords(SHORTEST)}</p>
        <button class="main" ?disabled=${Boolean(this.busy)}>${t.safety.setPassphrase}</button></form>`;
  }

  renderRecovery() {
    return html`<gl-banner kind="caution" heading=${t.safety.writeDownRecoveryKey}><div class="stack"><p>${t.safety.opensRecordsWhenPassphrase}</p><output class="recovery" aria-label=${t.safety.recoveryKey}>${this.recovery}</output>
      <gl-hold label=${t.safety.writtenDown} @confirm=${() => { this.recovery = ""; }}></gl-hold></div></gl-banner>`;
  }

  renderSealed() {
    return html`<gl-banner kind="done" heading=${t.safety.recordsSealedDevice}></gl-banner>
      ${this.store?.database.leftOver ? html`<gl-banner kind="caution" heading=${t.safety.notErasedYet}><p>${t.safety.closeWindowsToErase}</p></gl-banner>` : nothing}
      <button type="button" class="main" @click=${() => this.store?.lock()}>${t.safety.lockNow}</button>
      <label>${t.safety.lockItselfWhenNobody}<select @change=${this.chooseMinutes}>${IDLE_MINUTES.map((one) =>
        html`<option value=${one} ?selected=${one === this.minutes}>${t.safety.afterMinutes(one)}</option>`)}</select></label>
      <p class="soft small">${t.safety.neverWhileEyeOpen}</p>
      <details><summary>${t.safety.changePassphrase}</summary><form class="stack" @submit=${this.change}>${box(t.safety.passphraseNow)}${box(t.safety.newPassphrase)}${box(t.safety.sameAgain)}
        <button ?disabled=${Boolean(this.busy)}>${t.safety.change}</button></form></details>
      <details><summary>${t.safety.removePassphrase}</summary><form class="stack" @submit=${this.takeAway}>${box(t.safety.passphraseNow)}
        <button class="danger" ?disabled=${Boolean(this.busy)}>${t.safety.remove}</button></form></details>`;
  }
}

/** @param {string} label */
const box = (label) => html`<label>${label}<input type="password" autocomplete="off"></label>`;

customElements.define("gl-passphrase-card", PassphraseCard);
