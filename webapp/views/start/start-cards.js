import { LitElement, css, html, nothing } from "lit";
import { buttons, shared } from "../../elements/shared-style.js";
import { installOffer, isInstalled } from "../../store/install-offer.js";
import { offline } from "../../store/offline.js";
import { askToPersist, keeping } from "../../store/persistence.js";
import { status } from "../../worker/client.js";
import { t } from "../../words/words.js";
import { openDemoInTheatre } from "./demo-in-theatre.js";

/** @typedef {import("../../store/store.js").Store} Store */

const BUSY = ["starting", "downloading", "checking"];

/** @type {Array<{name: () => string, steps: () => string[], here: () => boolean}>} */
const PLATFORMS = [
  { name: () => t.start.iphoneIpad, steps: () => [t.start.iosShare, t.start.iosAdd, t.start.iosWebApp, t.start.iosOpen], here: () => "standalone" in navigator },
  { name: () => t.start.android, steps: () => [t.start.androidMenu, t.start.androidInstall, t.start.androidOpen], here: () => /Android/.test(navigator.userAgent) },
  { name: () => t.start.computer, steps: () => [t.start.computerInstall], here: () => false },
];

/** First steps: a demo eye, installing, what works without network, where the records are, what this is not. */
export class StartCards extends LitElement {
  static properties = { alone: { type: Boolean }, store: { attribute: false }, busy: { state: true }, fault: { state: true }, kept: { state: true } };

  static styles = [shared, buttons, css`
    :host { display: grid; gap: var(--gap-4); grid-template-columns: minmax(0, 1fr); }
    .stack { display: grid; gap: var(--gap-3); }
    ol, ul { display: grid; gap: var(--gap-2); padding-inline-start: 1.4em; }
    summary { min-height: 44px; display: flex; align-items: center; font-weight: 600; color: var(--accent); cursor: pointer; }
    summary::before { content: "▸"; margin-inline-end: var(--gap-2); }
    details[open] > summary::before { content: "▾"; }
    summary::-webkit-details-marker { display: none; }
    details ol { padding-block-end: var(--gap-2); }
  `];

  constructor() {
    super();
    /** @type {Store | null} */
    this.store = null;
    /** Whether it is a page of its own. */
    this.alone = false;
    this.busy = false;
    this.fault = "";
    /** @type {import("../../store/persistence.js").Keeping | null} */
    this.kept = null;
    this.redraw = () => this.requestUpdate();
  }

  connectedCallback() {
    super.connectedCallback();
    for (const source of [offline, status, installOffer]) source.addEventListener("change", this.redraw);
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    for (const source of [offline, status, installOffer]) source.removeEventListener("change", this.redraw);
  }

  async firstUpdated() {
    this.kept = await keeping();
  }

  async persist() {
    await askToPersist();
    this.kept = await keeping();
  }

  async tryDemo() {
    this.busy = true;
    this.fault = "";
    try {
      await openDemoInTheatre(/** @type {Store} */ (this.store));
    } catch (reason) {
      this.fault = String(/** @type {Error} */ (reason).message);
    }
    this.busy = false;
  }

  render() {
    return html`${this.alone ? html`<a class="button" href="#/setup">${t.setup.backSetup}</a><h1>${t.start.firstSteps}</h1>` : nothing}${this.renderDemo()}${this.renderInstall()}${this.renderOffline()}${this.renderRecords()}${this.renderNot()}`;
  }

  renderDemo() {
    const waiting = status.state !== "ready";
    return html`<gl-card heading=${t.start.seeItWork}><p>${t.start.demoEyeOpens}</p>
      <button type="button" class="main wide" ?disabled=${waiting || this.busy} @click=${this.tryDemo}>
        ${waiting ? t.start.tryDemoEyeStarting : this.busy ? t.start.openingDemoEye : t.start.tryDemoEye}</button>
      ${this.fault ? html`<gl-banner kind="stop" heading=${t.start.couldNotOpen}><p>${this.fault}</p></gl-banner>` : nothing}</gl-card>`;
  }

  renderInstall() {
    if (isInstalled()) return html`<gl-card heading=${t.start.keepOnDevice}><p>${t.start.isInstalled}</p></gl-card>`;
    return html`<gl-card heading=${t.start.keepOnDevice}><p>${t.start.whyInstall}</p>
      ${installOffer.offer ? html`<button type="button" @click=${() => installOffer.take()}>${t.start.installNow}</button>` : nothing}
      <div>${PLATFORMS.map(({ name, steps, here }) => html`<details ?open=${here()}><summary>${name()}</summary>
        <ol>${steps().map((step) => html`<li>${step}</li>`)}</ol></details>`)}</div></gl-card>`;
  }

  renderOffline() {
    const { name } = offline.state;
    const kind = name === "ready" ? "done" : BUSY.includes(name) ? "info" : "caution";
    return html`<gl-card heading=${t.start.withoutNetwork}><gl-banner kind=${kind} heading=${offline.sentence}></gl-banner>
      <p>${t.start.readyMeans}</p><p class="soft">${t.start.tryFlightMode}</p></gl-card>`;
  }

  renderRecords() {
    const persisted = this.kept?.persisted ?? null;
    const words = persisted === null ? t.start.storageUnknown : persisted ? t.start.storageKept : t.start.storageMayGo;
    return html`<gl-card heading=${t.start.recordsHere}><p role="status">${this.kept ? words : ""}</p>
      ${persisted === false ? html`<button type="button" @click=${this.persist}>${t.start.askKeep}</button>` : nothing}
      <p>${t.start.onlyHere}</p></gl-card>`;
  }

  renderNot() {
    return html`<gl-card heading=${t.setup.whatNot}><p>${t.setup.guylineSupportsJudgementLicensed}</p>
      <ul><li>${t.setup.doesNotDecideLocal}</li><li>${t.setup.doesNotIdentifyPatient}</li>
      <li>${t.setup.everyResultPredictionInterval}</li><li>${t.setup.nothingLeavesDeviceExcept}</li></ul></gl-card>`;
  }
}

customElements.define("gl-start-cards", StartCards);
