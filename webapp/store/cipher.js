// The two standards that lock the records, through the browser's own WebCrypto: PBKDF2-HMAC-SHA-256
// (RFC 8018) makes a key from a passphrase, AES-256-GCM (NIST SP 800-38D) seals. Checked against the
// published vectors of RFC 7914 section 11 and of the GCM specification in tests/browser/test_lock.py.

export const LEAST_ROUNDS = 600_000;
const KEY_BITS = 256;
const IV_BYTES = 12;

const encoder = new TextEncoder();

/** @typedef {{iv: Uint8Array, bytes: Uint8Array}} Sealed */

/**
 * @param {string} secret @param {Uint8Array} salt @param {number} rounds @param {number} bits
 * @returns {Promise<Uint8Array>}
 */
export async function derivedBits(secret, salt, rounds, bits) {
  const base = await crypto.subtle.importKey("raw", encoder.encode(secret.normalize("NFKC")), "PBKDF2", false, ["deriveBits"]);
  const how = { name: "PBKDF2", hash: "SHA-256", salt: /** @type {BufferSource} */ (salt), iterations: rounds };
  return new Uint8Array(await crypto.subtle.deriveBits(how, base, bits));
}

/** @param {string} secret @param {Uint8Array} salt @param {number} rounds @returns {Promise<CryptoKey>} */
export async function wrappingKey(secret, salt, rounds) {
  return importKey(await derivedBits(secret, salt, rounds, KEY_BITS));
}

/** A key that cannot be read back out of the browser. @param {Uint8Array} raw @returns {Promise<CryptoKey>} */
export function importKey(raw) {
  return crypto.subtle.importKey("raw", /** @type {BufferSource} */ (raw), "AES-GCM", false, ["encrypt", "decrypt"]);
}

/** @param {number} count @returns {Uint8Array} */
export function randomBytes(count) {
  return crypto.getRandomValues(new Uint8Array(count));
}

/**
 * A fresh nonce for every seal; `place` is what the result may stand for, and nothing else.
 * @param {CryptoKey} key @param {string[]} place @param {Uint8Array} plain
 * @returns {Promise<Sealed>}
 */
export async function seal(key, place, plain) {
  const iv = randomBytes(IV_BYTES);
  return { iv, bytes: await encrypt(key, iv, encoder.encode(JSON.stringify(place)), plain) };
}

/**
 * The plain bytes; fails when the key is another one, a bit has changed, or the place is another.
 * @param {CryptoKey} key @param {string[]} place @param {Sealed} sealed @returns {Promise<Uint8Array>}
 */
export async function open(key, place, { iv, bytes }) {
  const how = gcm(iv, encoder.encode(JSON.stringify(place)));
  return new Uint8Array(await crypto.subtle.decrypt(how, key, /** @type {BufferSource} */ (bytes)));
}

/** @param {CryptoKey} key @param {Uint8Array} iv @param {Uint8Array} data @param {Uint8Array} plain */
export async function encrypt(key, iv, data, plain) {
  return new Uint8Array(await crypto.subtle.encrypt(gcm(iv, data), key, /** @type {BufferSource} */ (plain)));
}

/** @param {Uint8Array} iv @param {Uint8Array} data @returns {AesGcmParams} */
function gcm(iv, data) {
  return { name: "AES-GCM", iv: /** @type {BufferSource} */ (iv), additionalData: /** @type {BufferSource} */ (data), tagLength: 128 };
}

/** @param {string} text @returns {Promise<string>} hex */
export async function sha256(text) {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", encoder.encode(text)));
  return Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** @param {Uint8Array} bytes */
export function toBase64(bytes) {
  let text = "";
  const step = 0x8000;
  for (let at = 0; at < bytes.length; at += step) text += String.fromCharCode(...bytes.subarray(at, at + step));
  return btoa(text);
}

/** @param {string} text @returns {Uint8Array} */
export function fromBase64(text) {
  return Uint8Array.from(atob(text), (character) => character.charCodeAt(0));
}
