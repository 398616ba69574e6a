import { t } from "../words/words.js";

/** A refusal by the store itself: trying again would not help. */
export class StoreError extends Error {
  /** @param {string} code @param {string} message */
  constructor(code, message) {
    super(message);
    this.name = "StoreError";
    this.code = code;
  }
}

/** What the browser's own names of failures mean to the one who holds the phone. @type {Record<string, () => string>} */
const MEANING = {
  QuotaExceededError: () => t.store.deviceFull,
  TimeoutError: () => t.store.otherWindowBusy,
  InvalidStateError: () => t.store.connectionLost,
};

/** A failure of the browser's storage in plain words; every other error as it is. @param {unknown} reason @returns {unknown} */
export function plainly(reason) {
  if (!(reason instanceof DOMException)) return reason;
  return new Error(MEANING[reason.name]?.() ?? t.store.storageGaveUp, { cause: reason });
}

/** @param {unknown} reason */
export function words(reason) {
  return reason instanceof Error ? reason.message : String(reason);
}
