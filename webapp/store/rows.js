// Rows as they lie on the disk: as they are, or sealed with the data key. A sealed row keeps only its
// key readable; its store, key and format are bound into the seal, so that no row stands for another.
import { fromBase64, open, seal, toBase64 } from "./cipher.js";
import { StoreError } from "./errors.js";
import { clearParts, isOpen, placeOf } from "./stores.js";
import { t } from "../words/words.js";

const FORMAT = 1;

/**
 * @typedef {object} Codec
 * @property {(store: string, row: any) => Promise<any>} pack
 * @property {(store: string, row: any) => Promise<any>} unpack
 * @property {CryptoKey} [key] the data key, while it is known
 */

/** @type {Codec} */
export const plainRows = { pack: async (_store, row) => row, unpack: async (_store, row) => row };

/** @type {Codec} */
export const lockedRows = { pack: refuse, unpack: async (store, row) => (row?.sealed ? refuse() : row) };

function refuse() {
  return Promise.reject(new StoreError("locked", t.store.recordsLockedEnterPassphrase));
}

/** @param {CryptoKey} key @returns {Codec} */
export function sealedRows(key) {
  return {
    key,
    pack: async (store, row) => (isOpen(store, row) ? row : sealRow(key, store, row)),
    unpack: async (store, row) => (row?.sealed ? openRow(key, store, row) : row),
  };
}

/** @param {CryptoKey} key @param {string} store @param {any} row */
async function sealRow(key, store, row) {
  const kept = Object.fromEntries(clearParts(store).filter((part) => part in row).map((part) => [part, row[part]]));
  const plain = new TextEncoder().encode(JSON.stringify(row));
  return { ...kept, sealed: FORMAT, ...await seal(key, bound(store, row), plain) };
}

/** @param {CryptoKey} key @param {string} store @param {any} row */
async function openRow(key, store, row) {
  try {
    const plain = await open(key, bound(store, row), row);
    return { ...JSON.parse(new TextDecoder().decode(plain)), ...autoKey(store, row) };
  } catch {
    throw new StoreError("damaged", t.store.recordDamagedCannotDeciphered);
  }
}

/** A key that the database gave after sealing. @param {string} store @param {any} row */
function autoKey(store, row) {
  return store === "log" ? { seq: row.seq } : {};
}

/** @param {string} store @param {any} row */
const bound = (store, row) => ["guyline", String(FORMAT), ...placeOf(store, row)];

/** A sealed row as text can carry it, and back. @param {any} row */
export function asText(row) {
  return row?.sealed ? { ...row, iv: toBase64(row.iv), bytes: toBase64(row.bytes) } : row;
}

/** @param {any} row */
export function fromText(row) {
  return row?.sealed ? { ...row, iv: fromBase64(row.iv), bytes: fromBase64(row.bytes) } : row;
}
