import { LitElement, css, html, nothing, svg } from "lit";
import { buttons, shared } from "../../elements/shared-style.js";
import { when } from "../../elements/format.js";
import { status } from "../../worker/client.js";
import { readCode } from "../../store/codes.js";
import { eyeAddress, STAGE_NAMES } from "../router.js";
import { GROUPS, byDue, dueRow, plainRow } from "./eye-list.js";
import { addDemoEyes } from "../start/demo-in-theatre.js";
import "../start/start-cards.js";
import "./long-list.js";
import { tabNeedsInstall } from "./install.js";
import "../safety/store-notices.js";
import { t } from "../../words/words.js";
import "../safety/update-notice.js";

/** @typedef {import("../../store/store.js").Store} Store */
/** @typedef {import("../../store/store.js").Case} Case */
/** @typedef {import("./eye-list.js").Row} Row */

/** An optic held between two lines of adjustable length. */
const DRAWING = svg`<svg viewBox="0 0 320 120" aria-hidden="true" fill="none" stroke="currentColor" stroke-width="3" stroke-linecap="round">
  <ellipse cx="160" cy="60" rx="118" ry="52" stroke-dasharray="1 9"/><circle cx="160" cy="60" r="27"/>
  <path d="M147 36 C120 6 80 14 44 34"/><path d="M173 84 C200 114 240 106 276 86"/>
  <g fill="currentColor" stroke="none"><circle cx="44" cy="34" r="7"/><circle cx="276" cy="86" r="7"/></g></svg>`;

/** @param {Row} row */
const codeOf = (row) => row.record.code;

/** Every eye on this device, by what is due. */
export class EyesView extends LitElement {
  static properties = {
    store: { attribute: false },
    rows: { state: true },
    fault: { state: true },
    busy: { state: true },
    findFault: { state: true },
    removed: { state: true },
  };

  static styles = [shared, buttons, css`
    :host { display: grid; gap: var(--gap-5); grid-template-columns: minmax(0, 1fr); }
    .top { display: grid; gap: var(--gap-3); }
    form { display: flex; gap: var(--gap-2); align-items: end; }
    form label { flex: 1; min-width: 0; font-weight: 600; }
    input { display: block; width: 100%; min-height: var(--touch); margin-top: var(--gap-1); padding: 0 var(--gap-3); border: 2px solid var(--edge);
      border-radius: var(--round); background: var(--surface); color: var(--ink); font: inherit; text-transform: uppercase; letter-spacing: 0.06em; }
    h2 { display: flex; align-items: center; gap: var(--gap-2); margin-bottom: var(--gap-2); }
    h2::after { content: ""; flex: 1; height: 2px; background: var(--rule); }
    ul { display: grid; gap: var(--gap-2); padding: 0; list-style: none; }
    .eye { display: grid; grid-template-columns: minmax(0, 1fr) auto; gap: var(--gap-1) var(--gap-3); align-items: center;
      padding: var(--gap-3) var(--gap-4); min-height: 64px; border: 1px solid var(--rule); border-inline-start: 6px solid var(--accent);
      border-radius: var(--round); background: var(--surface); color: var(--ink); text-decoration: none; }
    .eye.plan { border-inline-start-style: dotted; }
    .eye.follow-up { border-inline-start-style: double; }
    .eye > div { min-width: 0; }
    .due { font-weight: 600; }
    .go { color: var(--accent); font-weight: 700; font-size: 1.4rem; }
    .wrong { color: var(--stop); font-weight: 600; margin-top: var(--gap-1); }
    .welcome { display: grid; gap: var(--gap-3); }
    .welcome svg { width: 100%; max-width: 12rem; height: auto; color: var(--accent); justify-self: center; }
    .foot { display: grid; gap: var(--gap-2); }
    .undo { display: flex; align-items: center; justify-content: space-between; gap: var(--gap-3); }
  `];

  constructor() {
    super();
    /** @type {Store | null} */
    this.store = null;
    /** @type {Row[] | null} */
    this.rows = null;
    this.fault = "";
    this.busy = "";
    this.findFault = "";
    this.removed = "";
    /** @type {AbortController | null} */
    this.asking = null;
    this.refresh = () => this.load();
    this.redraw = () => this.requestUpdate();
    /** @param {Row} row */
    this.drawRow = (row) => this.renderRow(row);
  }

  connectedCallback() {
    super.connectedCallback();
    this.store?.addEventListener("change", this.refresh);
    status.addEventListener("change", this.redraw);
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    this.store?.removeEventListener("change", this.refresh);
    status.removeEventListener("change", this.redraw);
    this.asking?.abort();
  }

  firstUpdated() {
    this.store?.addEventListener("change", this.refresh);
    this.load();
  }

  async load() {
    this.asking?.abort();
    this.asking = new AbortController();
    try {
      const records = await /** @type {Store} */ (this.store).list();
      this.rows = records.map(plainRow);
      this.fault = "";
      await this.askDue(records, this.asking.signal);
    } catch (reason) {
      this.fault = String(/** @type {Error} */ (reason).message);
    }
  }

  /** @param {Case[]} records @param {AbortSignal} signal */
  async askDue(records, signal) {
    try {
      const rows = await Promise.all(records.map((record) => dueRow(record, signal)));
      if (!signal.aborted) this.rows = byDue(rows);
    } catch {
      // Asked again with newer records, or the screen was left.
    }
  }

  /** @param {SubmitEvent} event */
  find(event) {
    event.preventDefault();
    const typed = /** @type {HTMLInputElement} */ (this.renderRoot.querySelector("input")).value;
    const read = readCode(typed);
    const row = "code" in read ? this.rows?.find((one) => one.record.code === read.code) : undefined;
    this.findFault = "message" in read ? read.message : row ? "" : t.eyes.thereNoEyeDevice(read.code);
    if (row) location.hash = eyeAddress(row.record.code, row.stage);
  }

  async addDemo() {
    await this.during(t.eyes.addingDemoEyes, async () => {
      if (this.store) await addDemoEyes(this.store);
    });
  }

  async removeDemo() {
    await this.during(t.eyes.removingDemoEyes, async () => {
      for (const { record } of this.demo) await this.store?.remove(record.code);
    });
  }

  /** @param {string} words @param {() => Promise<void>} work */
  async during(words, work) {
    this.busy = words;
    try {
      await work();
      this.fault = "";
    } catch (reason) {
      this.fault = String(/** @type {Error} */ (reason).message);
    }
    this.busy = "";
  }

  get demo() {
    return this.rows?.filter((row) => row.record.demo) ?? [];
  }

  render() {
    if (this.fault && !this.rows) return html`<gl-banner kind="stop" heading=${t.eyes.eyesCouldNotRead}><p>${this.fault}</p>
      <button type="button" @click=${() => this.load()}>${t.shell.tryAgain}</button></gl-banner>`;
    if (!this.rows) return html`<p class="soft" role="status">${t.eyes.readingEyes}</p>`;
    return html`${this.renderTop()}
      ${this.fault ? html`<gl-banner kind="stop" heading=${t.eyes.didNotWork}><p>${this.fault}</p></gl-banner>` : nothing}
      ${this.rows.length ? GROUPS.map((group) => this.renderGroup(group)) : this.renderWelcome()}
      ${this.renderDemo()}`;
  }

  renderTop() {
    const install = tabNeedsInstall();
    return html`<div class="top"><h1>${t.eyes.eyes}</h1><gl-update-notice .store=${this.store}></gl-update-notice><gl-store-notices .store=${this.store}></gl-store-notices>
      ${install ? html`<gl-banner kind="caution" heading=${t.eyes.installFirst}><p>${install}</p></gl-banner>`
        : html`<a class="button main" href="#/new">${t.eyes.newEye}</a>`}
      ${this.rows?.length ? this.renderFind() : nothing}</div>`;
  }

  renderFind() {
    return html`<form @submit=${this.find}><label>${t.eyes.findCode}<input autocomplete="off" autocapitalize="characters" spellcheck="false"
      aria-describedby="find-fault" maxlength="12"></label><button>${t.eyes.find}</button></form>
      <p id="find-fault" class="wrong" role="status" ?hidden=${!this.findFault}>${this.findFault}</p>`;
  }

  /** @param {{stage: string, lost: boolean, word: string}} group */
  renderGroup({ stage, lost, word }) {
    const rows = this.rows?.filter((row) => row.stage === stage && row.lost === lost) ?? [];
    if (!rows.length) return nothing;
    return html`<section><h2>${word}</h2><gl-long-list .rows=${rows} .keyOf=${codeOf} .drawRow=${this.drawRow}></gl-long-list></section>`;
  }

  /** @param {Row} row */
  renderRow({ record, stage, due, why }) {
    const { code, eye, demo, imported } = record;
    return html`<a class="eye ${stage}" href=${eyeAddress(code, stage)}><div>
      <gl-eye .eye=${eye ?? null} .code=${code} ?demo=${Boolean(demo)} ?imported=${Boolean(imported)}></gl-eye>
      <p class="due">${due || STAGE_NAMES[stage]}</p>
      ${why ? html`<p class="small">${why}</p>` : nothing}
      <p class="soft small">${t.eyes.lastChange(when(record.updated_at))}</p></div><span class="go" aria-hidden="true">›</span></a>`;
  }

  renderWelcome() {
    return html`<div class="welcome">${DRAWING}
      <p>${t.eyes.noEyesDeviceYet}</p>
      <p class="soft">${t.eyes.noNameDateBirth}</p></div>
      <section class="top"><h2>${t.start.firstSteps}</h2><gl-start-cards .store=${this.store}></gl-start-cards></section>`;
  }

  renderDemo() {
    if (this.busy) return html`<p role="status">${this.busy}</p>`;
    if (this.demo.length) {
      return html`<div class="foot"><button type="button" @click=${this.removeDemo}>${t.eyes.removeDemoEyes}</button></div>`;
    }
    const waiting = status.state !== "ready";
    return html`<div class="foot"><p class="soft small">${t.eyes.threeInventedEyesOne}</p>
      <button type="button" data-role="add-demo" ?disabled=${waiting} @click=${this.addDemo}>${waiting ? t.eyes.addThreeDemoEyes : t.eyes.addThreeDemoEyes2}</button></div>`;
  }
}

customElements.define("gl-eyes-view", EyesView);
