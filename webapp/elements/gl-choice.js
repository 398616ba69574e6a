import { css, html, nothing } from "lit";
import { EntryElement } from "./entry-element.js";
import { shared } from "./shared-style.js";
import { fieldOf } from "./format.js";
import { inMark } from "./notation.js";
import { t } from "../words/words.js";

/**
 * One of a few words, none chosen to begin with. `options` (key -> label) replaces the glossary's
 * words, for instance to name haptics by clock hour. Fires `commit` {path, value, local} on a tap.
 */
export class GlChoice extends EntryElement {
  static properties = {
    ...EntryElement.properties,
    options: { attribute: false },
    failed: { state: true },
  };

  static styles = [shared, css`
    :host { display: block; }
    fieldset { margin: 0; padding: 0; border: 0; min-width: 0; }
    legend { padding: 0; margin-bottom: var(--gap-1); font-weight: 600; }
    .row { display: flex; flex-wrap: wrap; gap: var(--gap-2); }
    label {
      flex: 1 1 auto; display: flex; align-items: center; gap: var(--gap-2); min-width: min(7rem, 100%); min-height: var(--touch);
      padding: var(--gap-2) var(--gap-3); border: 2px solid var(--edge); border-radius: var(--round);
      background: var(--surface); font-weight: 600; line-height: 1.2; cursor: pointer; touch-action: manipulation;
    }
    input { appearance: none; -webkit-appearance: none; flex: none; display: grid; place-items: center; width: 1.35em; height: 1.35em; margin: 0;
      border: 2px solid var(--edge); border-radius: 50%; background: var(--surface); font: inherit; cursor: pointer; }
    input:checked { background: var(--on-accent); border-color: var(--on-accent); }
    input:checked::after { content: "✓"; color: var(--accent); font-weight: 800; line-height: 1; }
    label:has(:checked) { background: var(--accent); border-color: var(--accent); color: var(--on-accent); }
    label:has(:focus-visible) { outline: 3px solid var(--focus); outline-offset: 2px; }
    input:focus-visible { outline: none; }
    label:has(:disabled) { border-style: dashed; color: var(--ink-soft); background: transparent; cursor: default; }
    span { min-width: 0; overflow-wrap: anywhere; }
    .note { margin-top: var(--gap-1); font-size: var(--text-small); color: var(--ink-soft); }
    .wrong { margin-top: var(--gap-1); color: var(--stop); font-weight: 600; }
  `];

  constructor() {
    super();
    /** @type {string | null} */
    this.value = null;
    /** @type {Record<string, string> | null} */
    this.options = null;
    this.failed = "";
  }

  /** @param {import("lit").PropertyValues<this>} changed */
  willUpdate(changed) {
    const waiting = this.local && changed.has("draft") && this.draft && !this.value;
    if (waiting && this.draft && this.draft in this.words) {
      const draft = this.draft;
      queueMicrotask(() => this.choose(draft));
    }
  }

  get words() {
    return this.options ?? fieldOf(this.field).choices;
  }

  /** @param {string} key */
  async choose(key) {
    this.failed = "";
    const detail = { path: this.path, value: key, local: this.local, saved: /** @type {Promise<unknown> | null} */ (null) };
    if (this.local) this.tellDraft(key);
    this.dispatchEvent(new CustomEvent("commit", { detail, bubbles: true, composed: true }));
    if (this.local) this.value = key;
    try {
      await detail.saved;
    } catch {
      this.failed = t.elements.notSavedTapYour;
    }
    this.requestUpdate();
  }

  /** @param {string} text */
  tellDraft(text) {
    const detail = { path: this.path, text, local: true };
    this.dispatchEvent(new CustomEvent("draft", { detail, bubbles: true, composed: true }));
  }

  updated() {
    for (const radio of this.renderRoot.querySelectorAll("input")) radio.checked = radio.value === this.value;
  }

  render() {
    return html`<fieldset ?disabled=${this.disabled}>
      <legend>${this.label || fieldOf(this.field).label}</legend>
      <div class="row">${Object.entries(this.words).map(([key, word]) => html`<label>
        <input type="radio" name="one" value=${key} @change=${() => this.choose(key)}><span>${word}</span></label>`)}
      </div>
      ${this.hint ? html`<p class="note">${inMark(this.hint)}</p>` : nothing}
      <p class="wrong" role="status" ?hidden=${!this.failed}>${this.failed}</p>
    </fieldset>`;
  }
}

customElements.define("gl-choice", GlChoice);
