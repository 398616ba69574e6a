import { LitElement, css, html, nothing } from "lit";
import { t } from "../../words/words.js";
import { buttons, shared } from "../../elements/shared-style.js";

/** @typedef {{name: string, version: string, licence: string, hash: string}} Part */
/** @typedef {Part & {text: string, parts: Part[], parts_text?: string}} Library */

/** @type {Record<string, string>} */
const DOES = {
  Pyodide: t.setup.runsCalculationsDevice,
  CPython: t.setup.languageCalculations,
  Emscripten: t.setup.carriesLanguageIntoBrowser,
  NumPy: t.setup.rayTracingTiltedLens,
  pydicom: t.setup.readsDicom,
  micropip: t.setup.bringsPydicom,
  Lit: t.setup.drawsScreens,
  idb: t.setup.keepsRecords,
  "Observable Plot": t.setup.drawsGraphsResults,
  D3: t.setup.scalesShapesGraphs,
};

/** Every work of others inside the app, with its licence and the hash it is pinned by; made by the build. */
export class LibrariesView extends LitElement {
  static properties = { list: { state: true }, texts: { state: true }, fault: { state: true } };

  static styles = [shared, buttons, css`
    :host { display: grid; gap: var(--gap-4); grid-template-columns: minmax(0, 1fr); }
    summary { min-height: 44px; display: flex; align-items: center; font-weight: 600; color: var(--accent); cursor: pointer; }
    summary::before { content: "▸"; margin-inline-end: var(--gap-2); }
    details[open] > summary::before { content: "▾"; }
    summary::-webkit-details-marker { display: none; }
    ul { padding: 0; list-style: none; }
    li { padding: var(--gap-2) 0; border-top: 1px solid var(--rule); }
    code { display: block; font-size: 0.8rem; overflow-wrap: anywhere; color: var(--ink-soft); }
    pre { white-space: pre-wrap; font-size: 0.8rem; max-height: 14rem; overflow: auto; padding: var(--gap-3); background: var(--sunken); border-radius: var(--round-small); }
  `];

  constructor() {
    super();
    /** @type {Library[] | null} */
    this.list = null;
    /** @type {Record<string, string>} */
    this.texts = {};
    this.fault = "";
  }

  async firstUpdated() {
    try {
      const answer = await fetch(new URL("../../libraries.json", import.meta.url));
      this.list = await answer.json();
    } catch {
      this.fault = t.setup.listCouldNotRead;
    }
  }

  /** @param {string} path */
  async read(path) {
    if (this.texts[path]) return;
    const answer = await fetch(path).catch(() => null);
    this.texts = { ...this.texts, [path]: answer?.ok ? await answer.text() : t.setup.textCouldNotRead };
  }

  render() {
    return html`<h1>${t.setup.openSourceWorksInside}</h1>
      <p>${t.setup.eachPinnedHash}</p>
      <p><a class="button" href="#/setup">${t.setup.backSetup}</a></p>
      ${this.fault ? html`<gl-banner kind="stop" heading=${t.setup.notRead}><p>${this.fault}</p></gl-banner>` : nothing}
      ${this.list?.map((library) => this.renderLibrary(library)) ?? nothing}`;
  }

  /** @param {Library} library */
  renderLibrary(library) {
    return html`<gl-card heading=${`${library.name} ${library.version}`}><p>${library.licence}: ${DOES[library.name]}.</p>
      <code>${library.hash}</code>${this.renderText(t.setup.licenceText, library.text)}
      ${library.parts.length ? html`<details><summary>${t.setup.partsCount(library.parts.length)}</summary><ul>${library.parts.map((part) => html`<li>
        <b>${part.name}</b> ${part.version} ${part.licence}${part.hash === library.hash ? nothing : html`<code>${part.hash}</code>`}</li>`)}</ul></details>` : nothing}
      ${library.parts_text ? this.renderText(t.setup.licenceTextsParts, library.parts_text) : nothing}</gl-card>`;
  }

  /** @param {string} title @param {string} path */
  renderText(title, path) {
    return html`<details @toggle=${() => this.read(path)}><summary>${title}</summary><pre tabindex="0">${this.texts[path] ?? "…"}</pre></details>`;
  }
}

customElements.define("gl-libraries-view", LibrariesView);
