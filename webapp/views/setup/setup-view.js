import { LitElement, css, html, nothing } from "lit";
import { buttons, shared } from "../../elements/shared-style.js";
import { checkFiles, offline, repairFiles } from "../../store/offline.js";
import { askToPersist, keeping } from "../../store/persistence.js";
import { THEME_WORDS } from "../theme.js";
import "./notation-card.js";
import "./remove-eye.js";
import "./version-card.js";
import "../safety/backup-card.js";
import "../safety/passphrase-card.js";
import "../safety/restore-card.js";
import { t } from "../../words/words.js";
import { languageCard } from "./language-card.js";

/** @typedef {import("../../store/store.js").Store} Store */

/** What the app is and is not, this build, the files and records on this device. */
export class SetupView extends LitElement {
  static properties = {
    store: { attribute: false },
    theme: { attribute: false },
    kept: { state: true },
  };

  static styles = [shared, buttons, css`
    :host { display: grid; gap: var(--gap-4); grid-template-columns: minmax(0, 1fr); }
    dl { display: grid; grid-template-columns: minmax(0, auto) minmax(0, 1fr); gap: var(--gap-1) var(--gap-4); }
    dt { color: var(--ink-soft); } dd { font-weight: 600; text-align: end; }
    ul { display: grid; gap: var(--gap-2); padding-inline-start: 1.2em; }
    .row { display: flex; flex-wrap: wrap; gap: var(--gap-2); }
    .row > * { flex: 1 1 9rem; }
  `];

  constructor() {
    super();
    /** @type {Store | null} */
    this.store = null;
    /** @type {string | null} */
    this.theme = null;
    /** @type {import("../../store/persistence.js").Keeping | null} */
    this.kept = null;
    this.redraw = () => this.requestUpdate();
  }

  connectedCallback() {
    super.connectedCallback();
    offline.addEventListener("change", this.redraw);
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    offline.removeEventListener("change", this.redraw);
  }

  async firstUpdated() {
    this.kept = await keeping();
  }

  async persist() {
    await askToPersist();
    this.kept = await keeping();
  }

  /** @param {string} theme */
  chooseTheme(theme) {
    this.dispatchEvent(new CustomEvent("theme-chosen", { detail: { theme }, bubbles: true, composed: true }));
  }

  render() {
    return html`<h1>${t.setup.setup}</h1>${this.renderPurpose()}${this.renderTheme()}<gl-notation-card></gl-notation-card>${languageCard()}${this.renderSafety()}${this.renderOffline()}${this.renderStorage()}
      ${this.renderLearning()}<gl-version-card></gl-version-card>${this.renderWords()}${this.renderLibraries()}`;
  }

  renderPurpose() {
    return html`<gl-card heading=${t.setup.whatNot}>
      <p>${t.setup.guylineSupportsJudgementLicensed}</p>
      <ul><li>${t.setup.doesNotDecideLocal}</li>
      <li>${t.setup.doesNotIdentifyPatient}</li>
      <li>${t.setup.everyResultPredictionInterval}</li>
      <li>${t.setup.nothingLeavesDeviceExcept}</li></ul>
      <a class="button" href="#/start">${t.start.seeStart}</a></gl-card>`;
  }

  renderTheme() {
    return html`<gl-card heading=${t.setup.look}><gl-choice local label=${t.setup.theme} field="eye" path="setup.theme" .options=${THEME_WORDS} .value=${this.theme ?? "by_stage"}
      @commit=${(/** @type {CustomEvent} */ event) => this.chooseTheme(event.detail.value)}></gl-choice></gl-card>`;
  }

  renderSafety() {
    return html`<gl-backup-card .store=${this.store}></gl-backup-card><gl-restore-card .store=${this.store}></gl-restore-card>
      <gl-passphrase-card .store=${this.store}></gl-passphrase-card>`;
  }

  renderOffline() {
    const busy = ["starting", "downloading", "checking"].includes(offline.state.name);
    const kind = offline.state.name === "ready" ? "done" : busy ? "info" : "caution";
    return html`<gl-card heading=${t.setup.withoutNetwork}>
      <gl-banner kind=${kind} heading=${offline.sentence}><p>${offline.bad.length ? t.setup.damaged(offline.bad.join(", ")) : nothing}</p></gl-banner>
      <div class="row"><button type="button" ?disabled=${busy} @click=${() => checkFiles()}>${t.setup.checkOfflineFiles}</button>
      <button type="button" ?disabled=${busy} @click=${() => repairFiles()}>${t.setup.repairNeedsNetwork}</button></div>
      <p class="soft small">${t.setup.checkReadsEveryFile}</p></gl-card>`;
  }

  renderStorage() {
    const kept = this.kept;
    if (!kept) return nothing;
    const words = kept.persisted === null ? t.setup.browserDoesNotSay : kept.persisted ? t.setup.kept : t.setup.mayClearedWhenSpace;
    return html`<gl-card heading=${t.setup.recordsDevice}><dl><dt>${t.setup.keptBrowser}</dt><dd>${words}</dd>
      <dt>${t.setup.spaceUsed}</dt><dd>${megabytes(kept.used)}</dd><dt>${t.setup.spaceAllowed}</dt><dd>${megabytes(kept.room)}</dd></dl>
      ${kept.persisted === false ? html`<button type="button" @click=${this.persist}>${t.setup.askBrowserKeepThem}</button>
        <p class="soft small">${t.setup.installingAppHomeScreen}</p>` : nothing}
      <gl-remove-eye .store=${this.store}></gl-remove-eye></gl-card>`;
  }

  renderLearning() {
    return html`<gl-card heading=${t.setup.yourOwnEyes}><p>${t.setup.whatYourFinishedEyes}</p>
      <a class="button" href="#/learning">${t.setup.whatYourEyesHave}</a></gl-card>`;
  }

  renderWords() {
    return html`<gl-card heading=${t.setup.wordsLimits}><p>${t.setup.everyQuantityItsUnit}</p>
      <a class="button" href="#/glossary">${t.setup.openGlossary}</a></gl-card>`;
  }

  renderLibraries() {
    return html`<gl-card heading=${t.setup.openSourceWorksInside}><p>${t.setup.everyWorkOthers}</p>
      <a class="button" href="#/libraries">${t.setup.openList}</a></gl-card>`;
  }
}

/** @param {number | null} bytes */
function megabytes(bytes) {
  if (bytes === null) return t.setup.browserDoesNotSay;
  return bytes < 1e9 ? `${(bytes / 1e6).toFixed(1)} MB` : `${(bytes / 1e9).toFixed(1)} GB`;
}

customElements.define("gl-setup-view", SetupView);
