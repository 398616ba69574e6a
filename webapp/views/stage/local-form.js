/**
 * An entry being typed in (a reading, a log entry, a visit). What was entered so far lives in the
 * drafts of the eye until it is saved: a call, a locked screen or a flat battery loses nothing.
 */
import { append, keep, kept } from "./records.js";
import { t } from "../../words/words.js";

/** @typedef {Record<string, any>} Values */

export class LocalForm {
  /**
   * @param {import("lit").ReactiveControllerHost & EventTarget & {drafts: Record<string, string> | null}} host
   * @param {string} name the start of its fields' paths
   */
  constructor(host, name) {
    this.host = host;
    this.name = name;
    /** @type {Values} */
    this.values = {};
    this.saving = false;
    /** Why the last save failed; empty when it did not. */
    this.fault = "";
    host.addEventListener("commit", (event) => this.take(/** @type {CustomEvent} */ (event).detail));
  }

  /** @returns {string} */
  get draftPath() {
    return `${this.name}.form`;
  }

  /** Takes up what was entered before an interruption. */
  restore() {
    this.values = kept(this.host.drafts, this.draftPath) ?? {};
  }

  /** @param {{path: string, value: any, local?: boolean}} detail */
  take({ path, value, local }) {
    if (!local || !path.startsWith(`${this.name}.`)) return;
    this.set({ [path.slice(this.name.length + 1)]: value });
  }

  /** @param {Values} values */
  set(values) {
    this.values = { ...this.values, ...values };
    this.fault = "";
    keep(this.host, this.draftPath, this.values);
    this.host.requestUpdate();
  }

  /** Forgets what was entered. */
  clear() {
    this.values = {};
    keep(this.host, this.draftPath, null);
    this.host.requestUpdate();
  }

  /**
   * Appends the finished entry; the form empties only once it is on the disk.
   * @param {string} path @param {Record<string, unknown>} entry @returns {Promise<boolean>} whether it was saved
   */
  async save(path, entry) {
    if (this.saving) return false;
    this.saving = true;
    this.fault = "";
    this.host.requestUpdate();
    try {
      await append(this.host, path, entry, `${this.name}.`);
      this.values = {};
      return true;
    } catch (reason) {
      this.fault = t.stage.notSavedEverythingEntered(/** @type {Error} */ (reason).message ?? "");
      return false;
    } finally {
      this.saving = false;
      this.host.requestUpdate();
    }
  }
}
