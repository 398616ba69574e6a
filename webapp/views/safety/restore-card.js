import { LitElement, html, nothing } from "lit";
import { FIELDS } from "../../contract.js";
import { anyText, fieldOf, when } from "../../elements/format.js";
import { MOST_BYTES, isOwn, keyOf, readBackup, rowsOf } from "../../store/backup.js";
import { mergePlan } from "../../store/merge.js";
import { asked, carryOut, question, questions } from "../../store/restore.js";
import { safetyStyles } from "./styles.js";
import { tried } from "./tried.js";
import { t } from "../../words/words.js";
import { side } from "../../words/side.js";

/** @typedef {import("../../store/store.js").Store} Store */
/** @typedef {import("../../store/merge.js").Plan} Plan */
/** @typedef {import("../../store/restore.js").Answer} Answer */

const WHAT = { new: t.safety.notPhone, newer: t.safety.newerFile, both: t.safety.changedBothPhones, removed: t.safety.removedOnePhone };

/** A backup file into this phone: looked at first, every real difference chosen by the surgeon, then taken in. */
export class RestoreCard extends LitElement {
  static properties = {
    store: { attribute: false },
    backup: { state: true },
    sealed: { state: true },
    plan: { state: true },
    answers: { state: true },
    told: { state: true },
    busy: { state: true },
    fault: { state: true },
  };

  static styles = safetyStyles;

  constructor() {
    super();
    /** @type {Store | null} */
    this.store = null;
    /** @type {import("../../store/backup.js").Backup | null} */
    this.backup = null;
    /** True while the file waits for its passphrase. */
    this.sealed = false;
    /** @type {Plan | null} */
    this.plan = null;
    /** @type {Record<string, Answer>} */
    this.answers = {};
    this.told = "";
    this.busy = "";
    this.fault = "";
  }

  /** @param {Event} event */
  async choose(event) {
    const box = /** @type {HTMLInputElement} */ (event.target);
    const [file] = box.files ?? [];
    Object.assign(this, { backup: null, plan: null, sealed: false, answers: {}, told: "" });
    if (file) await tried(this, t.safety.readingFile, () => this.read(file));
    box.value = "";
  }

  /** @param {File} file */
  async read(file) {
    if (file.size > MOST_BYTES) throw new Error(t.safety.fileLargerThanAny);
    this.backup = readBackup(await file.text());
    this.sealed = Boolean(this.backup.ring) && !await isOwn(this.backup, /** @type {Store} */ (this.store));
    if (!this.sealed) await this.look("", "passphrase");
  }

  /** @param {string} secret @param {import("../../store/keyring.js").Kind} kind */
  async look(secret, kind) {
    const store = /** @type {Store} */ (this.store);
    const backup = /** @type {import("../../store/backup.js").Backup} */ (this.backup);
    const rows = await rowsOf(backup, await keyOf(backup, store, secret, kind));
    this.plan = mergePlan(await store.everything(), rows);
    this.sealed = false;
  }

  /** @param {SubmitEvent} event */
  async unseal(event) {
    event.preventDefault();
    const form = /** @type {HTMLFormElement} */ (event.target);
    const secret = /** @type {HTMLInputElement} */ (form.querySelector('input:not([type="checkbox"])')).value;
    const recovery = /** @type {HTMLInputElement} */ (form.querySelector('input[type="checkbox"]')).checked;
    await tried(this, t.safety.opening, () => this.look(secret, recovery ? "recovery" : "passphrase"));
  }

  async takeIn() {
    await tried(this, t.safety.taking, async () => {
      const count = await carryOut(/** @type {Store} */ (this.store), /** @type {Plan} */ (this.plan), this.answers);
      Object.assign(this, { plan: null, backup: null, told: t.safety.takenEveryChangeLog(eyes(count)) });
    });
  }

  /** @param {string} name @param {Answer} answer */
  answer(name, answer) {
    this.answers = { ...this.answers, [name]: answer };
  }

  render() {
    return html`<gl-card heading=${t.safety.restoreJoinTwoPhones}><div class="stack">
      <p>${t.safety.chooseBackupFileFrom}</p>
      <label>${t.safety.backupFile}<input type="file" accept="application/json,.json" @change=${this.choose}></label>
      ${this.busy ? html`<p role="status" class="soft">${this.busy}</p>` : nothing}
      ${this.fault ? html`<gl-banner kind="stop" heading=${t.safety.notRestored}><p>${this.fault}</p></gl-banner>` : nothing}
      ${this.sealed ? this.renderSealed() : nothing}${this.plan ? this.renderPlan(this.plan) : nothing}<p role="status">${this.told}</p></div></gl-card>`;
  }

  renderSealed() {
    return html`<form class="stack" @submit=${this.unseal}><label>${t.safety.passphraseRecoveryKeyFile}<input type="password" autocomplete="off"></label>
      <label class="tick"><input type="checkbox"> ${t.safety.recoveryKey2}</label><button class="main">${t.safety.openFile}</button></form>`;
  }

  /** @param {Plan} plan */
  renderPlan(plan) {
    const open = questions(plan).filter((name) => !this.answers[name]).length;
    const nothingNew = !plan.eyes.length && !plan.preferences.length;
    return html`<p>${t.safety.madeHereAlreadyHold(when(this.backup?.made_at ?? ""), eyes(plan.same))}</p>
      ${plan.eyes.length ? html`<ul>${plan.eyes.map((eye) => html`<li><b>${eye.code}</b>, ${side(eye.eye) || t.safety.eyeNotChosen}: ${WHAT[eye.what]}, ${eye.lines.length} ${t.safety.changes(eye.lines.length)}</li>`)}</ul>` : nothing}
      ${plan.refused.length ? html`<gl-banner kind="caution" heading=${t.safety.leftOut}><ul>${plan.refused.map(({ code, why }) => html`<li>${code}: ${why}</li>`)}</ul></gl-banner>` : nothing}
      ${this.renderConflicts(plan)}
      ${nothingNew ? html`<gl-banner kind="done" heading=${t.safety.nothingNewFile}></gl-banner>`
        : html`<button type="button" class="main" ?disabled=${open > 0 || Boolean(this.busy)} @click=${this.takeIn}>${open ? t.safety.chooseFirstLeft(open) : t.safety.take}</button>`}`;
  }

  /** @param {Plan} plan */
  renderConflicts(plan) {
    const list = [
      ...plan.eyes.flatMap((eye) => eye.conflicts.map((one) => ({ ...one, name: question(eye.code, one.path), title: `${eye.code} (${side(eye.eye) || t.safety.eyeNotChosen}): ${pathWords(one.path)}` }))),
      ...asked(plan).map((one) => ({ ...one, path: one.name, name: question("setup", one.name), title: t.safety.setup(one.name) })),
    ];
    if (!list.length) return nothing;
    return html`<h3>${t.safety.differentTwo}</h3><ul class="choices">${list.map((one) => html`<li><p><b>${one.title}</b></p><div class="pair">
      ${this.renderSide(one, "here", t.safety.phone)}${this.renderSide(one, "file", t.safety.file)}</div></li>`)}</ul>`;
  }

  /** @param {{name: string, path: string, here: any, file: any}} one @param {Answer} side @param {string} word */
  renderSide(one, side, word) {
    return html`<button type="button" aria-pressed=${this.answers[one.name] === side ? "true" : "false"} @click=${() => this.answer(one.name, side)}>
      <small>${this.answers[one.name] === side ? "✓ " : ""}${word}</small><span>${valueWords(one.path, one[side])}</span></button>`;
  }
}

/** @param {number} count */
const eyes = (count) => (t.safety.eyes(count));

/** @param {string} path */
function glossary(path) {
  const last = path.split(".").at(-1) ?? "";
  return [last, last.replace(/_[ab](?=_)/, "")].find((name) => name in FIELDS) ?? null;
}

/** @param {string} path */
function pathWords(path) {
  const name = glossary(path);
  return path === "" ? t.safety.wholeEye : name ? fieldOf(name).label : path;
}

/** @param {string} path @param {any} value */
function valueWords(path, value) {
  const name = glossary(path);
  if (path === "") return value ? t.safety.keep : t.safety.removed;
  if (value === null) return t.elements.empty;
  return name ? anyText(value, name) : JSON.stringify(value);
}

customElements.define("gl-restore-card", RestoreCard);
