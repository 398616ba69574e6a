import { LitElement, css, html, nothing } from "lit";
import { CORE_VERSION } from "../../contract.js";
import { buttons, shared } from "../../elements/shared-style.js";
import { offline, pageBuild } from "../../store/offline.js";
import { goBack, goForward, lookForUpdate, ownNumbers, place } from "../../store/update.js";
import { t } from "../../words/words.js";
import { status } from "../../worker/client.js";

/** This version: what it is, what it changed, whether a newer one is there, and the way back. */
export class VersionCard extends LitElement {
  static properties = { numbers: { state: true }, place: { state: true }, told: { state: true }, busy: { state: true } };

  static styles = [shared, buttons, css`
    :host { display: block; }
    .stack { display: grid; gap: var(--gap-3); }
    dl { display: grid; grid-template-columns: minmax(0, auto) minmax(0, 1fr); gap: var(--gap-1) var(--gap-4); }
    dt { color: var(--ink-soft); } dd { font-weight: 600; text-align: right; overflow-wrap: anywhere; }
    ul { padding-inline-start: 1.2em; }
  `];

  constructor() {
    super();
    /** @type {import("../../store/update.js").NumberChange[]} */
    this.numbers = [];
    /** @type {import("../../store/update.js").Place | null} */
    this.place = null;
    this.told = "";
    this.busy = false;
    this.redraw = () => this.requestUpdate();
  }

  connectedCallback() {
    super.connectedCallback();
    for (const one of [offline, status]) one.addEventListener("change", this.redraw);
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    for (const one of [offline, status]) one.removeEventListener("change", this.redraw);
  }

  async firstUpdated() {
    this.numbers = await ownNumbers().catch(() => []);
    this.place = await place().catch(() => null);
  }

  async look() {
    this.busy = true;
    this.told = await lookForUpdate();
    this.busy = false;
  }

  get newer() {
    const { newer, updateReady } = offline;
    if (updateReady) return t.update.readySeeEyes;
    if (newer.name === "fetching") return t.update.fetched(Math.floor((100 * newer.done) / newer.total));
    return newer.name === "failed" ? t.update.notTaken(newer.why) : t.update.noneKnown;
  }

  render() {
    return html`<gl-card heading=${t.update.thisVersion}><div class="stack"><dl><dt>${t.update.calculations}</dt><dd translate="no">${CORE_VERSION}</dd><dt>${t.update.build}</dt><dd translate="no">${pageBuild() ?? "…"}</dd>
      <dt>${t.update.state}</dt><dd>${status.sentence}</dd><dt>${t.update.newerVersion}</dt><dd>${this.newer}</dd></dl>
      <button type="button" ?disabled=${this.busy} @click=${this.look}>${this.busy ? t.update.looking : t.update.lookForNewer}</button>
      <p role="status" ?hidden=${!this.told}>${this.told}</p>${this.renderWay()}
      <h3>${t.update.numbersThatChanged}</h3>${this.numbers.length ? html`<ul>${this.numbers.map(({ version, text }) => html`<li>${t.update.numberChange(text, version)}</li>`)}</ul>`
        : html`<p class="soft">${t.update.noneUpToThis}</p>`}</div></gl-card>`;
  }

  renderWay() {
    if (this.place?.why) return html`<p>${t.update.newerWasLeft(this.place.why)}</p>
      <button type="button" @click=${() => goForward()}>${t.update.tryNewerAgain}</button>`;
    if (!this.place?.canGoBack) return nothing;
    return html`<p>${t.update.beforeIsKept}</p>
      <button type="button" @click=${() => goBack(t.update.leftByHand)}>${t.update.goBack}</button>`;
  }
}

customElements.define("gl-version-card", VersionCard);
