import { LitElement, css, html, nothing } from "lit";
import { CORE_VERSION } from "../../contract.js";
import { buttons, shared } from "../../elements/shared-style.js";
import { checkFiles, offline, repairFiles } from "../../store/offline.js";
import { askToPersist, keeping } from "../../store/persistence.js";
import { status } from "../../worker/client.js";
import { THEME_WORDS } from "../theme.js";
import { LIBRARIES } from "./libraries.js";
import "./remove-eye.js";
import "../safety/backup-card.js";
import "../safety/passphrase-card.js";
import "../safety/restore-card.js";

/** @typedef {import("../../store/store.js").Store} Store */

/** What the app is and is not, this build, the files and records on this device. */
export class SetupView extends LitElement {
  static properties = {
    store: { attribute: false },
    theme: { attribute: false },
    kept: { state: true },
    licence: { state: true },
  };

  static styles = [shared, buttons, css`
    :host { display: grid; gap: var(--gap-4); grid-template-columns: minmax(0, 1fr); }
    dl { display: grid; grid-template-columns: minmax(0, auto) minmax(0, 1fr); gap: var(--gap-1) var(--gap-4); }
    dt { color: var(--ink-soft); } dd { font-weight: 600; text-align: right; }
    ul { display: grid; gap: var(--gap-2); padding-left: 1.2em; }
    .row { display: flex; flex-wrap: wrap; gap: var(--gap-2); }
    .row > * { flex: 1 1 9rem; }
    .libraries { padding: 0; list-style: none; gap: 0; }
    .libraries li { padding: var(--gap-2) 0; border-top: 1px solid var(--rule); }
    summary { min-height: 44px; display: flex; align-items: center; font-weight: 600; color: var(--accent); cursor: pointer; }
    summary::before { content: "▸"; margin-right: var(--gap-2); }
    details[open] > summary::before { content: "▾"; }
    summary::-webkit-details-marker { display: none; }
    pre { white-space: pre-wrap; font-size: 0.75rem; max-height: 14rem; overflow: auto; padding: var(--gap-3); background: var(--sunken); border-radius: var(--round-small); }
  `];

  constructor() {
    super();
    /** @type {Store | null} */
    this.store = null;
    /** @type {string | null} */
    this.theme = null;
    /** @type {import("../../store/persistence.js").Keeping | null} */
    this.kept = null;
    /** @type {Record<string, string>} */
    this.licence = {};
    this.redraw = () => this.requestUpdate();
  }

  connectedCallback() {
    super.connectedCallback();
    offline.addEventListener("change", this.redraw);
    status.addEventListener("change", this.redraw);
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    offline.removeEventListener("change", this.redraw);
    status.removeEventListener("change", this.redraw);
  }

  async firstUpdated() {
    this.kept = await keeping();
  }

  async persist() {
    await askToPersist();
    this.kept = await keeping();
  }

  /** @param {string} path */
  async readLicence(path) {
    if (this.licence[path]) return;
    const answer = await fetch(path).catch(() => null);
    this.licence = { ...this.licence, [path]: answer?.ok ? await answer.text() : "The text could not be read from this device." };
  }

  /** @param {string} theme */
  chooseTheme(theme) {
    this.dispatchEvent(new CustomEvent("theme-chosen", { detail: { theme }, bubbles: true, composed: true }));
  }

  render() {
    return html`<h1>Setup</h1>${this.renderPurpose()}${this.renderTheme()}${this.renderSafety()}${this.renderOffline()}${this.renderStorage()}
      ${this.renderLearning()}${this.renderVersion()}${this.renderWords()}${this.renderLibraries()}`;
  }

  renderPurpose() {
    return html`<gl-card heading="What this is, and is not">
      <p>Guyline supports the judgement of a licensed surgeon who fixes three-piece lenses to the sclera with flanged haptics: planning, titration in theatre, follow-up.</p>
      <ul><li>It does not decide. Local codes of practice, the manufacturer's label and licensed practice come first.</li>
      <li>It does not identify a patient. Read two identifiers from the notes, and the eye, before every step that cannot be undone.</li>
      <li>Every result is a prediction with an interval. It is only as good as the measurements shown beside it.</li>
      <li>Nothing leaves this device except a file that you export.</li></ul></gl-card>`;
  }

  renderTheme() {
    return html`<gl-card heading="Look"><gl-choice local label="Theme" field="eye" path="setup.theme" .options=${THEME_WORDS} .value=${this.theme ?? "by_stage"}
      @commit=${(/** @type {CustomEvent} */ event) => this.chooseTheme(event.detail.value)}></gl-choice></gl-card>`;
  }

  renderSafety() {
    return html`<gl-backup-card .store=${this.store}></gl-backup-card><gl-restore-card .store=${this.store}></gl-restore-card>
      <gl-passphrase-card .store=${this.store}></gl-passphrase-card>`;
  }

  renderOffline() {
    const busy = ["starting", "downloading", "checking"].includes(offline.state.name);
    const kind = offline.state.name === "ready" ? "done" : busy ? "info" : "caution";
    return html`<gl-card heading="Without network">
      <gl-banner kind=${kind} heading=${offline.sentence}><p>${offline.bad.length ? `Damaged: ${offline.bad.join(", ")}` : nothing}</p></gl-banner>
      <div class="row"><button type="button" ?disabled=${busy} @click=${() => checkFiles()}>Check the files now</button>
      <button type="button" ?disabled=${busy} @click=${() => repairFiles()}>Repair (needs network)</button></div>
      <p class="soft small">The check reads every file of the app on this device and compares its hash. Do it once more in flight mode before you travel.</p></gl-card>`;
  }

  renderStorage() {
    const kept = this.kept;
    if (!kept) return nothing;
    const words = kept.persisted === null ? "this browser does not say" : kept.persisted ? "kept" : "may be cleared when space runs low";
    return html`<gl-card heading="Records on this device"><dl><dt>Kept by the browser</dt><dd>${words}</dd>
      <dt>Space used</dt><dd>${megabytes(kept.used)}</dd><dt>Space allowed</dt><dd>${megabytes(kept.room)}</dd></dl>
      ${kept.persisted === false ? html`<button type="button" @click=${this.persist}>Ask the browser to keep them</button>
        <p class="soft small">Installing the app on the home screen makes browsers more willing to.</p>` : nothing}
      <gl-remove-eye .store=${this.store}></gl-remove-eye></gl-card>`;
  }

  renderLearning() {
    return html`<gl-card heading="Your own eyes"><p>What your finished eyes say about your lens position, your readings and the change after surgery.</p>
      <a class="button" href="#/learning">What your eyes have taught</a></gl-card>`;
  }

  renderVersion() {
    const build = document.querySelector('meta[name="guyline-build"]')?.getAttribute("content") ?? "source";
    return html`<gl-card heading="This version"><dl><dt>Calculations</dt><dd>${CORE_VERSION}</dd><dt>Build</dt><dd>${build}</dd>
      <dt>State</dt><dd>${status.sentence}</dd></dl></gl-card>`;
  }

  renderWords() {
    return html`<gl-card heading="Words and limits"><p>Every quantity with its unit, its meaning and the limits that are checked.</p>
      <a class="button" href="#/glossary">Open the glossary</a></gl-card>`;
  }

  renderLibraries() {
    return html`<gl-card heading="Open-source works inside"><ul class="libraries">${LIBRARIES.map((library) => html`<li>
      <b>${library.name}</b> ${library.version}, ${library.licence}: <span class="soft">${library.does}</span>
      ${library.text ? this.renderLicence(library.text) : nothing}</li>`)}</ul></gl-card>`;
  }

  /** @param {string} path */
  renderLicence(path) {
    return html`<details @toggle=${() => this.readLicence(path)}><summary>Licence text</summary><pre tabindex="0">${this.licence[path] ?? "…"}</pre></details>`;
  }
}

/** @param {number | null} bytes */
function megabytes(bytes) {
  if (bytes === null) return "this browser does not say";
  return bytes < 1e9 ? `${(bytes / 1e6).toFixed(1)} MB` : `${(bytes / 1e9).toFixed(1)} GB`;
}

customElements.define("gl-setup-view", SetupView);
