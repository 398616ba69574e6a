// The data key of the records, wrapped twice: by the passphrase and by a recovery key. A sum over
// the ring tells damage from a wrong passphrase before any secret is tried.
import { LEAST_ROUNDS, fromBase64, importKey, open, randomBytes, seal, sha256, toBase64, wrappingKey } from "./cipher.js";
import { newCode, readCode } from "./codes.js";
import { StoreError } from "./errors.js";
import { t } from "../words/words.js";

const FORMAT = 1;
const SALT_BYTES = 16;
const KEY_BYTES = 32;
const RECOVERY_GROUPS = 5;
export const SHORTEST = 8;

/** @typedef {"passphrase" | "recovery"} Kind */
/** @typedef {{salt: string, rounds: number, iv: string, bytes: string}} Wrap */
/** @typedef {{format: number, id: string, kdf: string, cipher: string, wraps: Record<Kind, Wrap>, sum: string}} Ring */

/** A fresh data key under a passphrase. @param {string} passphrase
 * @returns {Promise<{ring: Ring, key: CryptoKey, recovery: string}>} */
export async function newRing(passphrase) {
  const id = crypto.randomUUID();
  const raw = randomBytes(KEY_BYTES);
  const recovery = Array.from({ length: RECOVERY_GROUPS }, () => newCode()).join(" ");
  const wraps = {
    passphrase: await wrap(raw, id, "passphrase", checked(passphrase)),
    recovery: await wrap(raw, id, "recovery", recovery),
  };
  return { ring: await summed({ format: FORMAT, id, kdf: "PBKDF2-HMAC-SHA-256", cipher: "AES-256-GCM", wraps }), key: await importKey(raw), recovery };
}

/** The data key. @param {Ring} ring @param {string} secret @param {Kind} kind @returns {Promise<CryptoKey>} */
export async function openRing(ring, secret, kind) {
  return importKey(await unwrap(ring, secret, kind));
}

/** The same data key under another passphrase; the recovery key stays.
 * @param {Ring} ring @param {string} secret @param {Kind} kind @param {string} passphrase @returns {Promise<Ring>} */
export async function withPassphrase(ring, secret, kind, passphrase) {
  const raw = await unwrap(ring, secret, kind);
  const { sum: _, ...rest } = ring;
  const wrapped = await wrap(raw, ring.id, "passphrase", checked(passphrase));
  return summed({ ...rest, wraps: { ...ring.wraps, passphrase: wrapped } });
}

/** @param {Ring} ring @returns {Promise<boolean>} */
export async function isWhole(ring) {
  if (!ring?.wraps || ring.format !== FORMAT) return false;
  const { sum, ...rest } = ring;
  return sum === await sumOf(rest);
}

/** @param {string} passphrase */
function checked(passphrase) {
  if ([...passphrase].length >= SHORTEST) return passphrase;
  throw new StoreError("short_passphrase", t.store.passphraseHasLeastCharacters(SHORTEST));
}

/** @param {Uint8Array} raw @param {string} id @param {Kind} kind @param {string} secret @returns {Promise<Wrap>} */
async function wrap(raw, id, kind, secret) {
  const salt = randomBytes(SALT_BYTES);
  const key = await wrappingKey(secret, salt, LEAST_ROUNDS);
  const { iv, bytes } = await seal(key, place(id, kind), raw);
  return { salt: toBase64(salt), rounds: LEAST_ROUNDS, iv: toBase64(iv), bytes: toBase64(bytes) };
}

/** @param {Ring} ring @param {string} secret @param {Kind} kind @returns {Promise<Uint8Array>} */
async function unwrap(ring, secret, kind) {
  if (!await isWhole(ring)) {
    throw new StoreError("damaged_keys", t.store.storedKeysDamagedNot);
  }
  const { salt, rounds, iv, bytes } = ring.wraps[kind];
  const key = await wrappingKey(kind === "recovery" ? readRecovery(secret) : secret, fromBase64(salt), rounds);
  try {
    return await open(key, place(ring.id, kind), { iv: fromBase64(iv), bytes: fromBase64(bytes) });
  } catch {
    throw new StoreError("wrong_passphrase", kind === "recovery"
      ? t.store.notRecoveryKeyThese
      : t.store.notPassphraseRecordsWhole);
  }
}

/** @param {string} typed @returns {string} */
function readRecovery(typed) {
  const plain = typed.toUpperCase().replace(/[^0-9A-Z]/g, "");
  const groups = plain.match(/.{1,8}/g) ?? [];
  return groups.map((group, index) => {
    const read = readCode(group);
    if ("code" in read) return read.code;
    throw new StoreError("mistyped_recovery", t.store.groupRecoveryKey(index + 1, read.message));
  }).join(" ");
}

/** @param {string} id @param {Kind} kind */
const place = (id, kind) => ["guyline", String(FORMAT), "key", id, kind];

/** @param {Omit<Ring, "sum">} ring @returns {Promise<Ring>} */
async function summed(ring) {
  return { ...ring, sum: await sumOf(ring) };
}

/** @param {Omit<Ring, "sum">} ring */
function sumOf({ format, id, kdf, cipher, wraps }) {
  const parts = [wraps.passphrase, wraps.recovery].map(({ salt, rounds, iv, bytes }) => [salt, rounds, iv, bytes]);
  return sha256(JSON.stringify([format, id, kdf, cipher, parts]));
}
