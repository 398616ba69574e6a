import { LitElement, html, nothing } from "lit";
import { SHORTEST } from "../../store/keyring.js";
import { IDLE_MINUTES, USUAL_MINUTES } from "../../store/idle.js";
import { safetyStyles } from "./styles.js";
import { tried } from "./tried.js";

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
    if (first !== second) throw new Error("The two are not the same. Type the new passphrase twice.");
    return first;
  }

  /** @param {SubmitEvent} event */
  async set(event) {
    const [first, second] = this.typed(event);
    await tried(this, "Sealing every record…", async () => {
      this.recovery = await /** @type {Store} */ (this.store).setPassphrase(this.sameTwice(first, second));
    });
  }

  /** @param {SubmitEvent} event */
  async change(event) {
    const [old, first, second] = this.typed(event);
    const form = /** @type {HTMLFormElement} */ (event.target);
    await tried(this, "Changing…", async () => {
      await this.store?.changePassphrase(old, this.sameTwice(first, second));
      form.reset();
      this.told = "The passphrase was changed. The recovery key is still the same. Older backup files still open with the passphrase they were made with.";
    });
  }

  /** @param {SubmitEvent} event */
  async takeAway(event) {
    const [passphrase] = this.typed(event);
    await tried(this, "Unsealing every record…", async () => {
      await this.store?.removePassphrase(passphrase);
      this.told = "There is no passphrase any more: the records on this device can be read.";
    });
  }

  /** @param {Event} event */
  async chooseMinutes(event) {
    this.minutes = Number(/** @type {HTMLSelectElement} */ (event.target).value);
    await this.store?.preference("idle", this.minutes);
    this.dispatchEvent(new CustomEvent("idle-chosen", { detail: { minutes: this.minutes }, bubbles: true, composed: true }));
  }

  render() {
    return html`<gl-card heading="Passphrase"><div class="stack">
      ${this.recovery ? this.renderRecovery() : this.store?.sealed ? this.renderSealed() : this.renderOpen()}
      ${this.busy ? html`<p role="status">${this.busy} Do not close the app.</p>` : nothing}
      ${this.fault ? html`<gl-banner kind="stop" heading="Nothing was changed"><p>${this.fault}</p></gl-banner>` : nothing}
      <p role="status">${this.told}</p></div></gl-card>`;
  }

  renderOpen() {
    return html`<p>Without a passphrase, whoever can unlock this phone can read the records. With one, every record, draft and log line is sealed on this
      device (AES-256); codes and the number of eyes stay readable.</p>
      <form class="stack" @submit=${this.set}>${box("New passphrase")}${box("The same again")}
        <p class="soft small">At least ${SHORTEST} characters. Several words are best. Nobody can tell you a forgotten one.</p>
        <button class="main" ?disabled=${Boolean(this.busy)}>Set the passphrase</button></form>`;
  }

  renderRecovery() {
    return html`<gl-banner kind="caution" heading="Write down the recovery key now"><div class="stack"><p>It opens the records when the passphrase is forgotten.
      It is shown this once. Keep it on paper, away from the phone.</p><output class="recovery" aria-label="Recovery key">${this.recovery}</output>
      <gl-hold label="It is written down" @confirm=${() => { this.recovery = ""; }}></gl-hold></div></gl-banner>`;
  }

  renderSealed() {
    return html`<gl-banner kind="done" heading="The records are sealed on this device"></gl-banner>
      <button type="button" class="main" @click=${() => this.store?.lock()}>Lock now</button>
      <label>Lock by itself when nobody touches the phone<select @change=${this.chooseMinutes}>${IDLE_MINUTES.map((one) =>
        html`<option value=${one} ?selected=${one === this.minutes}>after ${one} minutes</option>`)}</select></label>
      <p class="soft small">Never while an eye is open in Theatre.</p>
      <details><summary>Change the passphrase</summary><form class="stack" @submit=${this.change}>${box("Passphrase now")}${box("New passphrase")}${box("The same again")}
        <button ?disabled=${Boolean(this.busy)}>Change it</button></form></details>
      <details><summary>Remove the passphrase</summary><form class="stack" @submit=${this.takeAway}>${box("Passphrase now")}
        <button class="danger" ?disabled=${Boolean(this.busy)}>Remove it</button></form></details>`;
  }
}

/** @param {string} label */
const box = (label) => html`<label>${label}<input type="password" autocomplete="off"></label>`;

customElements.define("gl-passphrase-card", PassphraseCard);
