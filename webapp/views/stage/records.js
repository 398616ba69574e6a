/**
 * Reading a case by dotted path, and the events that ask the shell to store something.
 * Views never write: they say what should be committed or appended.
 */

/** @typedef {Record<string, any>} Case */

/**
 * The value at a dotted path, or null; inside a list the step is an entry's id.
 * @param {Case | null} record
 * @param {string} path
 * @returns {any}
 */
export function valueAt(record, path) {
  let found = /** @type {any} */ (record);
  for (const key of path.split(".")) found = Array.isArray(found) ? found.find((one) => one.id === key) : found?.[key];
  return found ?? null;
}

/**
 * Asks the shell to store `value` at `path`; settles when it is on the disk or was refused.
 * @param {EventTarget} source @param {string} path @param {unknown} value
 * @returns {Promise<unknown>}
 */
export function commit(source, path, value) {
  return tell(source, "commit", { path, value });
}

/**
 * Asks the shell to append an entry to the list at `path`; drafts that start with `clear` end with it, and
 * the entry `also` is stored with it or not at all.
 * @param {EventTarget} source @param {string} path @param {Record<string, unknown>} entry @param {string} [clear]
 * @param {{path: string, entry: Record<string, unknown>} | null} [also]
 * @returns {Promise<unknown>}
 */
export function append(source, path, entry, clear, also = null) {
  return tell(source, "append", { path, entry, clear, also });
}

/**
 * @param {EventTarget} source @param {string} name @param {Record<string, unknown>} detail
 * @returns {Promise<unknown>}
 */
function tell(source, name, detail) {
  const event = new CustomEvent(name, { detail: { ...detail, saved: null }, bubbles: true, composed: true });
  source.dispatchEvent(event);
  return Promise.resolve(event.detail.saved);
}

/**
 * Keeps an unfinished entry so that an interruption loses nothing; null forgets it.
 * @param {EventTarget} source @param {string} path @param {unknown} value
 */
export function keep(source, path, value) {
  const text = value === null ? null : JSON.stringify(value);
  source.dispatchEvent(new CustomEvent("draft", { detail: { path, text, local: true }, bubbles: true, composed: true }));
}

/**
 * An unfinished entry kept earlier, or null.
 * @param {Record<string, string> | null | undefined} drafts
 * @param {string} path
 * @returns {any}
 */
export function kept(drafts, path) {
  const text = drafts?.[path];
  if (!text) return null;
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

/** @returns {{id: string, at: string}} the start of every entry in a list */
export function stamp() {
  return { id: crypto.randomUUID(), at: new Date().toISOString() };
}

/** @returns {string} the phone's own date, as dates are stored */
export function today() {
  const now = new Date();
  const two = (/** @type {number} */ part) => String(part).padStart(2, "0");
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}
