/** Packing for a list of eyes: the set to take, what each eye gets, and what the box lacks. */
import { LitElement, html, nothing } from "lit";
import { percent } from "../../elements/format.js";
import { DEFAULT_FORMULA, learnedSurgeon } from "../../store/own-eyes.js";
import { LiveAnswer } from "../stage/live-answer.js";
import { today } from "../stage/records.js";
import { withState } from "../stage/status.js";
import { stageStyles } from "../stage/styles.js";
import { boxStyles } from "./box-styles.js";
import { t } from "../../words/words.js";

/** @typedef {import("../../store/store.js").Case} Case */
/** @typedef {{label: string, titrated_within_050: number}} Lens */
/** @typedef {{code: string, eye: "right" | "left", day: number, first: Lens | null, spare: Lens | null,
 *   shared_with: string[], lacks: string[], missing: string | null}} Packed */

/** What the set rests on; anything else only redraws. @type {(keyof PackView)[]} */
const ASKED_WITH = ["eyes", "rows", "days", "from", "spares"];
const DAYS = [1, 2, 3, 4, 5, 6, 7];
const LIST = "list";
const FROM = { box: t.box.box2, any: t.box.anyHalfDioptre };
const SPARES = { shared: t.box.sharedDay, own: t.box.oneEachEye };

export class PackView extends LitElement {
  static properties = {
    store: { attribute: false },
    rows: { attribute: false },
    eyes: { state: true },
    days: { state: true },
    from: { state: true },
    spares: { state: true },
    told: { state: true },
  };

  static styles = [...stageStyles, boxStyles];

  constructor() {
    super();
    /** @type {import("../../store/store.js").Store | null} */
    this.store = null;
    /** @type {import("../../store/box.js").Row[]} */
    this.rows = [];
    /** Eyes not operated yet; null while they are read. @type {Case[] | null} */
    this.eyes = null;
    /** The day of each eye on the list, by code. @type {Record<string, number>} */
    this.days = {};
    /** @type {"box" | "any"} */
    this.from = "box";
    /** @type {"shared" | "own"} */
    this.spares = "shared";
    this.told = "";
    this.turn = 0;
    /** Whether the eyes of the list have different base formulas. */
    this.mixed = false;
    this.answer = new LiveAnswer(this, "pack");
    this.addEventListener("commit", (event) => this.chosen(/** @type {CustomEvent} */ (event)));
  }

  async firstUpdated() {
    const eyes = await /** @type {import("../../store/store.js").Store} */ (this.store).list();
    this.eyes = eyes.filter((record) => !operated(record));
  }

  /** @param {import("lit").PropertyValues<this>} changed */
  willUpdate(changed) {
    if (!ASKED_WITH.some((name) => changed.has(name)) || !this.listed.length) return;
    void this.ask(this.listed);
  }

  /** The set for these eyes, from the surgeon's own eyes as each plan is. @param {Case[]} cases */
  async ask(cases) {
    const turn = ++this.turn;
    this.answer.typed(LIST, true);
    const surgeon = await this.surgeonFor(cases);
    if (turn !== this.turn) return;
    this.answer.typed(LIST, false);
    this.answer.follow({
      cases, ...(surgeon?.eyes ? { surgeon } : {}), days: cases.map((record) => this.days[record.code]), strict: this.spares === "own", today: today(),
      ...(this.usesBox ? { box: this.rows } : {}),
    });
  }

  /** What the own eyes taught for the one formula of the list; null when formulas differ. @param {Case[]} cases */
  async surgeonFor(cases) {
    const formulas = new Set(cases.map((record) => record.plan?.formula ?? DEFAULT_FORMULA));
    this.mixed = formulas.size > 1;
    if (this.mixed || !this.store) return null;
    return learnedSurgeon(this.store, { formula: [...formulas][0] }).catch(() => null);
  }

  /** @returns {Case[]} */
  get listed() {
    return (this.eyes ?? []).filter((record) => record.code in this.days);
  }

  get usesBox() {
    return this.from === "box" && this.rows.length > 0;
  }

  /** @param {CustomEvent} event */
  chosen(event) {
    event.stopPropagation();
    const { path, value } = event.detail;
    if (path === "pack.from") this.from = value;
    else this.spares = value;
  }

  /** @param {string} code @param {boolean} on */
  list(code, on) {
    const { [code]: day = 1, ...others } = this.days;
    this.days = on ? { ...this.days, [code]: day } : others;
  }

  render() {
    return html`<gl-card heading=${t.box.packList}>
      <p>${t.box.tickEyesListEvery}</p>
      ${this.renderEyes()} ${this.listed.length ? this.renderAnswer() : nothing}</gl-card>`;
  }

  renderEyes() {
    if (!this.eyes) return html`<p role="status" class="soft">${t.box.readingEyes}</p>`;
    if (!this.eyes.length) return html`<p class="soft">${t.box.thereNoEyeWaiting}</p>`;
    return html`<ul aria-label=${t.box.eyesWaitingSurgery}>${this.eyes.map((record) => html`<li class="listed">
      <label class="pick"><input type="checkbox" .checked=${record.code in this.days}
        @change=${(/** @type {Event} */ event) => this.list(record.code, /** @type {HTMLInputElement} */ (event.target).checked)}>
        <gl-eye .eye=${record.eye ?? null} .code=${record.code} ?demo=${Boolean(record.demo)}></gl-eye></label>
      ${record.code in this.days ? this.renderDay(record.code) : nothing}</li>`)}</ul>`;
  }

  /** @param {string} code */
  renderDay(code) {
    return html`<select aria-label=${t.box.daySurgery(code)} @change=${(/** @type {Event} */ event) => {
      this.days = { ...this.days, [code]: Number(/** @type {HTMLSelectElement} */ (event.target).value) };
    }}>${DAYS.map((day) => html`<option value=${day} ?selected=${this.days[code] === day}>${t.box.day(day)}</option>`)}</select>`;
  }

  renderAnswer() {
    return html`
      ${this.rows.length ? html`<gl-choice local field="power_step" path="pack.from" label=${t.box.takeLensesFrom} .options=${FROM} .value=${this.from}></gl-choice>` : nothing}
      <gl-choice local field="power_step" path="pack.spares" label=${t.box.spares} .options=${SPARES} .value=${this.spares}></gl-choice>
      ${withState(this.answer, () => this.renderSet(this.answer.value))}`;
  }

  /** @param {any} value */
  renderSet(value) {
    return html`<div class="stack" data-role="pack">
      <h3>${t.box.takeYou}</h3>
      <ul class="set">${value.pieces.map((/** @type {any} */ one) => html`<li><b>${one.pieces} ×</b><span>${one.label}</span></li>`)}</ul>
      <p data-role="pack-total">${value.sentence}</p>
      <p class="hint">${value.rule}</p>
      ${this.mixed ? html`<p class="hint">${t.box.whatYourOwnEyes}</p>` : nothing}
      ${value.left_out.length ? html`<gl-banner kind="caution" heading=${t.box.notPacked}><ul>${value.left_out.map((/** @type {any} */ one) =>
        html`<li>${one.code}: ${one.why}</li>`)}</ul></gl-banner>` : nothing}
      <h3>${t.box.eyeEye}</h3>
      <ul>${value.eyes.map(eyeItem)}</ul>
      <div class="buttons"><button type="button" @click=${() => this.copy(value.text)}>${t.box.copyAsText}</button>
        ${"share" in navigator ? html`<button type="button" @click=${() => this.share(value.text)}>${t.box.shareAsText}</button>` : nothing}</div>
      <p class="hint">${t.box.textNamesEyesCase}</p>
      <p role="status">${this.told}</p></div>`;
  }

  /** @param {string} text */
  async copy(text) {
    try {
      await navigator.clipboard.writeText(text);
      this.told = t.box.copied;
    } catch {
      this.told = t.box.browserDidNotAllow;
    }
  }

  /** @param {string} text */
  async share(text) {
    try {
      await navigator.share({ title: t.box.lensesPack, text });
      this.told = t.box.handedOver;
    } catch {
      this.told = t.box.nothingWasHandedOver;
    }
  }
}

/** @param {Packed} one */
function eyeItem(one) {
  return html`<li class="eye" data-packed=${one.code}><gl-eye .eye=${one.eye} .code=${one.code}></gl-eye>
    <dl><div><dt>${t.box.day2}</dt><dd>${one.day}</dd></div>
      <div><dt>${t.box.firstChoice}</dt><dd>${lens(one.first)}</dd></div><div><dt>${t.box.spare}</dt><dd>${lens(one.spare)}</dd></div></dl>
    ${one.shared_with.length ? html`<p class="hint">${t.box.spareShared(one.shared_with.join(", "))}</p>` : nothing}
    ${one.lacks.map((words) => html`<p class="lacks">✕ ${words}</p>`)}
    ${one.missing ? html`<p class="hint">${one.missing}</p>` : nothing}</li>`;
}

/** @param {Lens | null} found */
function lens(found) {
  return found ? `${found.label} · ${percent(found.titrated_within_050)}` : t.box.none;
}

/** @param {Record<string, any>} record */
function operated(record) {
  return ["readings", "haptic_log", "decisions", "follow_ups"].some((section) => record[section]?.length);
}

customElements.define("gl-pack-view", PackView);
