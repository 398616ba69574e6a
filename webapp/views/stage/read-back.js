/**
 * Read-back with a second person: every line is confirmed by a tap as it is read aloud, then the
 * whole by holding. The patient's two identifiers are read from the notes and not stored.
 */
import { LitElement, html, nothing } from "lit";
import { inMark } from "../../elements/notation.js";
import { append, stamp } from "./records.js";
import { stageStyles } from "./styles.js";
import { t } from "../../words/words.js";

/** @typedef {{label: string, value: string}} Line */

const IDENTIFIERS = "identifiers";

export class ReadBack extends LitElement {
  static properties = {
    kind: { type: String },
    lines: { attribute: false },
    fingerprint: { type: String },
    identifiers: { type: Boolean },
    blocked: { type: Boolean },
    heading: { type: String },
    also: { attribute: false },
    confirmed: { state: true },
    fault: { state: true },
  };

  static styles = stageStyles;

  constructor() {
    super();
    /** @type {"plan" | "cut"} */
    this.kind = "plan";
    /** @type {Line[]} */
    this.lines = [];
    this.fingerprint = "";
    this.identifiers = false;
    this.blocked = false;
    this.heading = "";
    /** What is stored together with the read-back. @type {{path: string, entry: Record<string, unknown>} | null} */
    this.also = null;
    /** @type {Set<string>} */
    this.confirmed = new Set();
    this.fault = "";
    /** What the confirmations are about. */
    this.about = "";
  }

  /** Another plan, or another word on any line: nothing has been read yet. */
  willUpdate() {
    const now = JSON.stringify([this.fingerprint, this.lines]);
    if (this.about !== now) this.confirmed = new Set();
    this.about = now;
  }

  /** @returns {string[]} what must be confirmed, in order */
  get wanted() {
    const names = this.lines.map((line) => line.label);
    return this.identifiers ? [IDENTIFIERS, ...names] : names;
  }

  render() {
    const left = this.wanted.filter((name) => !this.confirmed.has(name)).length;
    return html`
      <ol class="read-lines">
        ${this.identifiers ? this.line(IDENTIFIERS, t.stage.patient,
          t.stage.bothIdentifiersReadFrom) : nothing}
        ${this.lines.map((line) => this.line(line.label, line.label, line.value))}
      </ol>
      <p class="hint" role="status">${left === 0 ? t.stage.allLinesConfirmed
        : t.stage.linesStillConfirmTap(left)}</p>
      <slot></slot>
      <gl-hold label=${t.stage.readBackTwoPeople} ?disabled=${left > 0 || this.blocked}
        @confirm=${this.store}></gl-hold>
      ${this.fault ? html`<gl-banner kind="stop">${this.fault}</gl-banner>` : nothing}
    `;
  }

  /** @param {string} name @param {string} label @param {string} value */
  line(name, label, value) {
    const on = this.confirmed.has(name);
    return html`<li><button type="button" class="read-line" aria-pressed=${on} data-line=${name}
      ?disabled=${this.blocked} @click=${() => this.toggle(name)}>
      <span class="tick" aria-hidden="true">${on ? "✓" : ""}</span>
      <span class="what"><small>${label}</small><strong>${inParts(value)}</strong></span>
    </button></li>`;
  }

  /** @param {string} name */
  toggle(name) {
    const next = new Set(this.confirmed);
    if (!next.delete(name)) next.add(name);
    this.confirmed = next;
  }

  async store() {
    const read = Object.fromEntries(this.lines.map((line) => [line.label, line.value]));
    const entry = { ...stamp(), kind: this.kind, values: { ...read, fingerprint: this.fingerprint }, by_two: true };
    this.fault = "";
    const saved = append(this, "readbacks", entry, undefined, this.also);
    try {
      await saved;
      this.confirmed = new Set();
    } catch {
      this.fault = t.stage.notSavedHoldAgain;
    }
  }
}

/** One part of a line under the other, as it is read aloud. @param {string} value */
export function inParts(value) {
  return inMark(value).split("; ").map((part, index) => html`${index ? html`<br>` : nothing}${part}`);
}

/**
 * Whether a stored read-back says exactly these lines.
 * @param {Record<string, any> | null | undefined} values @param {Line[]} lines @returns {boolean}
 */
export function saysTheSame(values, lines) {
  return lines.every((line) => values?.[line.label] === line.value);
}

customElements.define("gl-read-back", ReadBack);
