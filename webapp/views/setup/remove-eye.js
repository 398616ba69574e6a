import { LitElement, css, html, nothing } from "lit";
import { buttons, shared } from "../../elements/shared-style.js";
import { t } from "../../words/words.js";
import { side } from "../../words/side.js";

/** @typedef {import("../../store/store.js").Store} Store */
/** @typedef {import("../../store/store.js").Case} Case */

/** Takes one eye off the list, after holding; until the screen is left it can be put back. */
export class RemoveEye extends LitElement {
  static properties = {
    store: { attribute: false },
    eyes: { state: true },
    code: { state: true },
    gone: { state: true },
    fault: { state: true },
  };

  static styles = [shared, buttons, css`
    :host { display: grid; gap: var(--gap-2); border-top: 1px solid var(--rule); padding-top: var(--gap-2); }
    summary { min-height: 44px; display: flex; align-items: center; font-weight: 600; color: var(--accent); cursor: pointer; }
    summary::before { content: "▸"; margin-inline-end: var(--gap-2); }
    details[open] > summary::before { content: "▾"; }
    summary::-webkit-details-marker { display: none; }
    .inside { display: grid; gap: var(--gap-3); }
    select { width: 100%; min-height: var(--touch); padding: 0 var(--gap-3); border: 2px solid var(--edge); border-radius: var(--round);
      background: var(--surface); color: var(--ink); font: inherit; font-weight: 600; }
    label { font-weight: 600; }
  `];

  constructor() {
    super();
    /** @type {Store | null} */
    this.store = null;
    /** @type {Case[]} */
    this.eyes = [];
    this.code = "";
    this.gone = "";
    this.fault = "";
  }

  async firstUpdated() {
    await this.load();
  }

  async load() {
    this.eyes = (await this.store?.list()) ?? [];
  }

  async takeOff() {
    await this.tried(async () => {
      const demo = this.eyes.find((record) => record.code === this.code)?.demo;
      await this.store?.remove(this.code);
      this.gone = demo ? "" : this.code;
      this.code = "";
    });
  }

  async putBack() {
    await this.tried(async () => {
      await this.store?.restore(this.gone);
      this.gone = "";
    });
  }

  /** @param {() => Promise<void>} work */
  async tried(work) {
    this.fault = "";
    try {
      await work();
      await this.load();
    } catch (reason) {
      this.fault = String(/** @type {Error} */ (reason).message);
    }
  }

  render() {
    return html`<details><summary>${t.setup.removeEye}</summary><div class="inside">
      <label>${t.setup.eyeRemove}<select @change=${(/** @type {Event} */ event) => { this.code = /** @type {HTMLSelectElement} */ (event.target).value; }}>
        <option value="" ?selected=${!this.code}>${t.setup.chooseCode}</option>
        ${this.eyes.map((record) => html`<option value=${record.code} ?selected=${record.code === this.code}>${record.code}, ${side(record.eye) || t.setup.eyeNotChosen}${record.demo ? t.setup.demo : ""}</option>`)}
      </select></label>
      ${this.code ? html`<gl-hold danger label=${t.setup.remove(this.code)} @confirm=${this.takeOff}></gl-hold>` : nothing}
      ${this.fault ? html`<gl-banner kind="stop" heading=${t.setup.didNotWork}><p>${this.fault}</p></gl-banner>` : nothing}</div></details>
      ${this.gone ? html`<gl-banner kind="caution" heading=${t.setup.wasRemoved(this.gone)}><p>${t.setup.canPutBackUntil}</p>
        <button type="button" @click=${this.putBack}>${t.setup.putBack}</button></gl-banner>` : nothing}`;
  }
}

customElements.define("gl-remove-eye", RemoveEye);
