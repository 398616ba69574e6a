import { LitElement, css, html, nothing } from "lit";
import { glossary, range } from "../../elements/format.js";
import { buttons, shared } from "../../elements/shared-style.js";
import { t } from "../../words/words.js";

/** @typedef {import("../../elements/format.js").Field} Field */

/** Every quantity of the glossary, as the core writes it. */
export class GlossaryView extends LitElement {
  static properties = { wanted: { state: true } };

  static styles = [shared, buttons, css`
    :host { display: grid; gap: var(--gap-4); grid-template-columns: minmax(0, 1fr); }
    input { display: block; width: 100%; min-height: var(--touch); margin-top: var(--gap-1); padding: 0 var(--gap-3); border: 2px solid var(--edge);
      border-radius: var(--round); background: var(--surface); color: var(--ink); font: inherit; }
    label { font-weight: 600; }
    dl { display: grid; gap: var(--gap-2); }
    div { padding: var(--gap-3) var(--gap-4); background: var(--surface); border: 1px solid var(--rule); border-radius: var(--round); }
    dt { font-weight: 700; }
    code { font-size: var(--text-small); color: var(--ink-soft); overflow-wrap: anywhere; }
    p { margin-top: var(--gap-1); }
  `];

  constructor() {
    super();
    this.wanted = "";
  }

  get entries() {
    const wanted = this.wanted.trim().toLowerCase();
    const all = glossary();
    return all.filter((entry) => `${entry.label} ${entry.name} ${entry.meaning}`.toLowerCase().includes(wanted));
  }

  render() {
    return html`<a class="button" href="#/setup">${t.setup.backSetup}</a><h1>${t.setup.glossary}</h1>
      <label>${t.setup.findWord}<input @input=${(/** @type {Event} */ event) => { this.wanted = /** @type {HTMLInputElement} */ (event.target).value; }}></label>
      <dl>${this.entries.map(renderEntry)}</dl>
      ${this.entries.length ? nothing : html`<p class="soft">${t.setup.noQuantityHasWord}</p>`}`;
  }
}

/** @param {Field} entry */
function renderEntry(entry) {
  const words = Object.values(entry.choices);
  return html`<div><dt>${entry.label} <code translate="no">${entry.name}</code></dt><dd>${entry.meaning}
    ${words.length ? html`<p class="soft">${words.join(" · ")}</p>` : nothing}
    ${entry.lowest !== null && entry.highest !== null ? html`<p>${t.setup.possible(range(entry.lowest, entry.highest, entry))}
      ${entry.usual_low !== null && entry.usual_high !== null ? html`<br>${t.setup.usual(range(entry.usual_low, entry.usual_high, entry))}` : nothing}</p>` : nothing}</dd></div>`;
}

customElements.define("gl-glossary-view", GlossaryView);
