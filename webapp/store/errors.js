/** A refusal by the store itself: trying again would not help. */
export class StoreError extends Error {
  /** @param {string} code @param {string} message */
  constructor(code, message) {
    super(message);
    this.name = "StoreError";
    this.code = code;
  }
}

/** @param {unknown} reason */
export function words(reason) {
  return reason instanceof Error ? reason.message : String(reason);
}
