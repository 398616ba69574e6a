import { css, html, nothing } from "lit";
import { EntryElement } from "./entry-element.js";
import { buttons, shared } from "./shared-style.js";
import { MINUS, editable, fieldOf } from "./format.js";
import { lacksSign, readNumber, withSign } from "./number-text.js";
import { checkLimits, needsSign } from "./limits.js";
import { inMark } from "./notation.js";
import { activate, afterTap, announce, join, part } from "./keypad-link.js";
import { t } from "../words/words.js";

const BRIEF = 4;

/**
 * One number. `field` names its glossary entry, `path` its place in the record.
 *
 * Fires `draft` {path, text} on every keystroke and `commit` {path, value, local} on leaving the
 * field when the number is possible and either usual or confirmed. A listener may set
 * `event.detail.saved` to a promise; if it is refused the field says "not saved" and keeps the text.
 *
 * With the attribute `local` the number belongs to a form that is not stored yet: the same events
 * with `detail.local` true, and a draft found at start is committed again by itself.
 */
export class GlNumber extends EntryElement {
  static properties = {
    ...EntryElement.properties,
    guided: { type: Boolean },
    text: { state: true },
    typed: { state: true },
    fault: { state: true },
    doubt: { state: true },
    unsigned: { state: true },
    failed: { state: true },
    inside: { state: true },
  };

  static styles = [shared, buttons, css`
    :host { display: block; container-type: inline-size; }
    .head { display: flex; flex-wrap: wrap; justify-content: space-between; gap: var(--gap-2); font-weight: 600; margin-bottom: var(--gap-1); }
    .mark { font-weight: 600; font-size: var(--text-small); color: var(--ink-soft); white-space: nowrap; }
    .box {
      display: flex; align-items: stretch; min-height: var(--touch-main);
      background: var(--surface); border: 2px solid var(--edge); border-radius: var(--round);
    }
    .box:focus-within { border-color: var(--accent); box-shadow: 0 0 0 3px var(--focus); }
    .box.wrong { border-color: var(--stop); border-style: dashed; }
    .box.doubt { border-color: var(--caution); border-style: dashed; }
    input {
      flex: 1; min-width: 0; width: 100%; padding: 0 0 0 min(var(--gap-4), 5cqi);
      border: 0; background: transparent; color: var(--ink);
      font: inherit; font-size: min(var(--text-value), 16cqi); font-weight: 600; font-variant-numeric: tabular-nums lining-nums;
    }
    .brief input { font-size: min(var(--text-value), 24cqi); }
    input:focus { outline: none; }
    .unit { display: grid; place-items: center; padding: 0 min(var(--gap-4), 5cqi) 0 min(var(--gap-2), 2cqi);
      color: var(--ink-soft); font-size: min(1em, 11cqi); font-weight: 600; }
    .note { margin-top: var(--gap-1); font-size: var(--text-small); color: var(--ink-soft); }
    .ask { margin-top: var(--gap-2); padding: var(--gap-3); border-radius: var(--round); border: 2px solid; font-weight: 600; }
    .ask.wrong { background: var(--stop-soft); color: var(--stop); }
    .ask.doubt { background: var(--caution-soft); color: var(--caution); }
    .ask.waiting { background: var(--accent-soft); color: var(--accent); }
    .row { display: flex; flex-wrap: wrap; gap: var(--gap-2); margin-top: var(--gap-2); }
    .row button { flex: 1 1 8rem; }
  `];

  constructor() {
    super();
    /** @type {number | null} */
    this.value = null;
    /** Another control is filling it in: nothing is asked about what stands there meanwhile. */
    this.guided = false;
    this.text = "";
    this.typed = false;
    this.fault = "";
    this.doubt = "";
    /** Whether the sign must be asked for. */
    this.unsigned = false;
    this.failed = "";
    this.inside = false;
    this.saving = false;
  }

  connectedCallback() {
    super.connectedCallback();
    join(this);
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    part(this);
  }

  get entry() {
    return fieldOf(this.field);
  }

  get signed() {
    return this.entry.signed || (this.entry.lowest ?? 0) < 0;
  }

  get name() {
    return this.label || this.entry.label;
  }

  get focused() {
    return this.input?.matches(":focus") ?? false;
  }

  get input() {
    return this.renderRoot.querySelector("input");
  }

  /** @param {import("lit").PropertyValues<this>} changed */
  willUpdate(changed) {
    if (changed.has("path") && changed.get("path") !== undefined) this.forget();
    if (!this.typed && changed.has("draft") && this.draft) this.resume(this.draft);
    if (!this.typed) this.text = editable(this.value, this.entry);
  }

  forget() {
    this.typed = false;
    this.fault = this.doubt = this.failed = "";
    this.unsigned = false;
  }

  /**
   * A draft from before a reload: a form's own number goes back in, a stored one is asked about.
   * @param {string} draft
   */
  resume(draft) {
    const reading = readNumber(draft);
    if (reading.state === "number" && reading.value === this.value) return;
    this.text = draft;
    this.typed = true;
    if (this.local) queueMicrotask(() => this.settle());
  }

  /**
   * What the text amounts to.
   * @returns {{level: "ok" | "unusual" | "impossible" | "unsigned", value: number | null, message: string}}
   */
  get outcome() {
    const reading = readNumber(this.text);
    if (reading.state === "error") return { level: "impossible", value: null, message: reading.message };
    const value = reading.state === "empty" ? null : reading.value;
    if (value === null) return { level: "ok", value, message: "" };
    if (needsSign(this.entry) && lacksSign(this.text)) return { level: "unsigned", value, message: "" };
    if (value === this.value) return { level: "ok", value, message: "" };
    return { ...checkLimits(value, this.entry), value };
  }

  /** Takes what is typed: commits it, asks, or says what is wrong. */
  settle() {
    if (!this.typed) return;
    const { level, value, message } = this.outcome;
    this.fault = level === "impossible" ? message : "";
    this.doubt = level === "unusual" ? message : "";
    this.unsigned = level === "unsigned";
    if (level === "ok") this.commit(value);
  }

  /** @param {number | null} value */
  async commit(value) {
    this.fault = this.doubt = this.failed = "";
    this.unsigned = false;
    if (value === this.value) {
      this.discard();
      return;
    }
    const detail = { path: this.path, value, local: this.local, saved: /** @type {Promise<unknown> | null} */ (null) };
    const shown = this.text;
    this.saving = true;
    this.dispatchEvent(new CustomEvent("commit", { detail, bubbles: true, composed: true }));
    try {
      await detail.saved;
      if (this.text === shown && !this.focused) this.typed = false;
      if (detail.saved || this.local) this.value = value;
      this.requestUpdate();
    } catch {
      this.failed = t.elements.notSavedWhatYou;
    }
    this.saving = false;
  }

  keep() {
    const reading = readNumber(this.text);
    if (reading.state === "number") this.commit(reading.value);
  }

  discard() {
    this.forget();
    this.text = editable(this.value, this.entry);
    this.tellDraft(null);
  }

  /** @param {string | null} text */
  tellDraft(text) {
    const detail = { path: this.path, text, local: this.local };
    this.dispatchEvent(new CustomEvent("draft", { detail, bubbles: true, composed: true }));
  }

  /** @param {string} text */
  type(text) {
    this.text = text;
    this.typed = true;
    this.doubt = this.failed = "";
    this.unsigned = false;
    const reading = readNumber(text);
    const separators = text.match(/[.,]/g)?.length ?? 0;
    this.fault = reading.state === "error" && separators > 1 ? reading.message : "";
    this.tellDraft(text);
    announce();
  }

  /**
   * One key of the keypad.
   * @param {string} key a digit, ".", "+", "-" or "back"
   */
  press(key) {
    if (key === "+") this.putSign("+");
    else if (key === "-") this.putSign(MINUS);
    else if (key === "back") this.type(this.withoutOne());
    else this.type(this.withKey(key));
  }

  /** The sign stays when the digits after it are typed over. @param {"+" | "\u2212"} sign */
  putSign(sign) {
    const [from, to] = this.selection();
    const over = from < to;
    this.type(withSign(this.text, sign));
    this.updateComplete.then(() => this.input?.setSelectionRange(over ? 1 : this.text.length, this.text.length));
  }

  /** @param {string} key */
  withKey(key) {
    const [from, to] = this.selection();
    this.placeCaret(from + key.length);
    return this.text.slice(0, from) + key + this.text.slice(to);
  }

  withoutOne() {
    const [from, to] = this.selection();
    const start = from === to ? Math.max(0, from - 1) : from;
    this.placeCaret(start);
    return this.text.slice(0, start) + this.text.slice(to);
  }

  /** @returns {[number, number]} */
  selection() {
    const end = this.text.length;
    return [this.input?.selectionStart ?? end, this.input?.selectionEnd ?? end];
  }

  /** @param {number} at */
  placeCaret(at) {
    this.updateComplete.then(() => this.input?.setSelectionRange(at, at));
  }

  /** Puts the caret in the field, for the keypad's Next. */
  take() {
    this.input?.focus();
  }

  /** Leaves the field, for the keypad's Done. */
  leave() {
    this.input?.blur();
  }

  focus() {
    this.take();
  }

  entered() {
    this.inside = true;
    this.input?.select();
    activate(this);
    this.show();
  }

  /** Into the room that the keypad leaves, once the keypad is drawn. */
  show() {
    afterTap(() => requestAnimationFrame(() => {
      if (this.inside) this.renderRoot.querySelector(".box")?.scrollIntoView({ block: "center" });
    }));
  }

  /** A good number is committed at once, before the screen can change; words wait for the tap's end. */
  left() {
    activate(null);
    if (this.typed && this.outcome.level === "ok") this.settle();
    afterTap(() => {
      if (this.focused) return;
      this.inside = false;
      if (!this.saving && !this.failed) this.settle();
    });
  }

  /** @param {KeyboardEvent} event */
  keyed(event) {
    if (event.key === "Enter") this.leave();
  }

  render() {
    const { unit } = this.entry;
    const mood = this.fault || this.failed ? "wrong" : this.doubt || this.unsigned ? "doubt" : "";
    return html`
      <div class="head"><label for="box">${this.name}</label>${this.renderMark()}</div>
      <div class="box ${mood} ${this.brief ? "brief" : ""}">
        <input id="box" type="text" dir="ltr" inputmode="none" autocomplete="off" autocapitalize="off" spellcheck="false"
          enterkeyhint="done" aria-describedby="note ask" aria-invalid=${this.fault ? "true" : "false"}
          ?disabled=${this.disabled} .value=${this.text}
          @input=${(/** @type {InputEvent} */ e) => this.type(/** @type {HTMLInputElement} */ (e.target).value)}
          @focus=${this.entered} @blur=${this.left} @keydown=${this.keyed}>
        ${unit ? html`<span class="unit">${unit}</span>` : nothing}
      </div>
      ${this.renderNote()}
      <div id="ask" role="status">${this.renderAsk()}</div>`;
  }

  renderMark() {
    if (this.fault) return html`<span class="mark">${t.elements.refused}</span>`;
    if (this.doubt) return html`<span class="mark">${t.elements.confirm2}</span>`;
    if (this.unsigned) return html`<span class="mark">${t.elements.whichSign}</span>`;
    if (this.failed) return html`<span class="mark">${t.elements.notSaved}</span>`;
    return this.typed && !this.inside && !this.guided ? html`<span class="mark">${t.elements.notEntered}</span>` : nothing;
  }

  renderNote() {
    const note = inMark(this.hint || (this.inside ? this.entry.meaning : ""));
    return html`<p id="note" class="note" ?hidden=${!note}>${note}</p>`;
  }

  renderAsk() {
    if (this.fault) return html`<p class="ask wrong">${this.fault}</p>`;
    if (this.failed) return this.renderPair("wrong", this.failed, t.elements.saveAgain);
    if (this.doubt) return this.renderPair("doubt", this.doubt, t.elements.keep(this.spoken));
    if (this.unsigned) return this.renderSigns();
    const waiting = this.typed && !this.inside && !this.guided && readNumber(this.text).state === "number";
    return waiting ? this.renderPair("waiting", t.elements.typedBeforeNotEntered, t.elements.enter(this.spoken), true) : nothing;
  }

  /** Numbers of few characters may be written larger in a narrow column; all of them always fit. */
  get brief() {
    const { lowest, highest } = this.entry;
    return [lowest, highest].every((limit) => limit !== null && editable(limit, this.entry).length <= BRIEF);
  }

  get spoken() {
    const reading = readNumber(this.text);
    return reading.state === "number" ? `${editable(reading.value, this.entry)}${this.entry.unit && (this.entry.unit === "°" ? "°" : `\u00a0${this.entry.unit}`)}` : t.elements.empty;
  }

  /** No sign was typed where it decides: asked, never assumed. */
  renderSigns() {
    const { unit } = this.entry;
    return html`<div class="ask doubt"><p>${t.elements.noSignWasTyped}</p><div class="row">
      ${/** @type {const} */ (["+", MINUS]).map((sign) => html`<button type="button" data-sign=${sign === "+" ? "plus" : "minus"}
        @click=${() => this.sign(sign)}>${withSign(this.text, sign)}${unit ? `\u00a0${unit}` : ""}</button>`)}
      <button type="button" @click=${this.discard}>${t.elements.discard}</button>
    </div></div>`;
  }

  /** @param {"+" | "\u2212"} sign */
  sign(sign) {
    this.type(withSign(this.text, sign));
    this.settle();
  }

  /**
   * @param {string} mood
   * @param {string} message
   * @param {string} keep
   * @param {boolean} [check] run the limits again instead of keeping at once
   */
  renderPair(mood, message, keep, check = false) {
    return html`<div class="ask ${mood}"><p>${message}</p><div class="row">
      <button type="button" @click=${check || this.failed ? this.settle : this.keep}>${keep}</button>
      <button type="button" @click=${this.take}>${t.elements.change}</button>
      <button type="button" @click=${this.discard}>${t.elements.discard}</button>
    </div></div>`;
  }
}

customElements.define("gl-number", GlNumber);
