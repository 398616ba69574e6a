// Every object store of the database, in one table: what a row's key is, and what stays readable
// when the records are locked. A new store is one line here and one more in VERSION.

/**
 * @typedef {object} Shape
 * @property {string | string[]} keyPath
 * @property {boolean} [autoIncrement]
 * @property {Record<string, {unique?: boolean}>} [indexes] by property name
 * @property {string[]} [names] properties that bind a sealed row to its place; the key when absent
 * @property {string[]} [open] keys of rows that are never sealed: nothing of a patient is in them
 */

export const VERSION = 1;

/** @type {Record<string, Shape>} */
export const STORES = {
  eyes: { keyPath: "code" },
  log: { keyPath: "seq", autoIncrement: true, indexes: { code: {}, id: { unique: true } }, names: ["id", "code"] },
  drafts: { keyPath: ["code", "path"] },
  preferences: { keyPath: "name", open: ["generation", "keys", "theme", "notation", "place", "idle", "backup"] },
};

export const NAMES = Object.keys(STORES);

/** The key of a row. @param {string} store @param {any} row @returns {any} */
export function keyOf(store, row) {
  const { keyPath } = STORES[store];
  return Array.isArray(keyPath) ? keyPath.map((part) => row[part]) : row[keyPath];
}

/** Properties that stay beside a sealed row. @param {string} store */
export function clearParts(store) {
  const { keyPath, indexes = {} } = STORES[store];
  return [...new Set([...[keyPath].flat(), ...Object.keys(indexes)])];
}

/** What binds a sealed row to its place. @param {string} store @param {any} row @returns {string[]} */
export function placeOf(store, row) {
  const parts = STORES[store].names ?? [STORES[store].keyPath].flat();
  return [store, ...parts.map((part) => String(row[part]))];
}

/** @param {string} store @param {any} row */
export function isOpen(store, row) {
  return STORES[store].open?.includes(keyOf(store, row)) ?? false;
}

/** Makes what is missing; nothing is ever dropped. @param {any} handle @param {any} transaction */
export function upgrade(handle, transaction) {
  for (const [name, { keyPath, autoIncrement = false, indexes = {} }] of Object.entries(STORES)) {
    const made = handle.objectStoreNames.contains(name) ? transaction.objectStore(name)
      : handle.createObjectStore(name, { keyPath, autoIncrement });
    for (const [index, options] of Object.entries(indexes)) {
      if (!made.indexNames.contains(index)) made.createIndex(index, index, options);
    }
  }
}
