// One file with everything: made without Python and without network, sealed when the records are, and
// opened again and counted by the app before it is handed over.
import { fromBase64, open, seal, sha256, toBase64 } from "./cipher.js";
import { formed } from "./backup-form.js";
import { StoreError } from "./errors.js";
import { build, now } from "./keeper.js";
import { isWhole, openRing } from "./keyring.js";
import { NAMES } from "./stores.js";
import { t } from "../words/words.js";

/** @typedef {import("./store.js").Store} Store */
/** @typedef {Record<string, any[]>} Rows */
/** @typedef {{format: string, version: number, made_at: string, build: string, counts: Record<string, number>,
 *   sha256: string, rows?: Rows, ring?: import("./keyring.js").Ring, iv?: string, bytes?: string}} Backup */
/** @typedef {{file: File, made_at: string, seq: number, eyes: number, sealed: boolean, counts: Record<string, number>}} Made */

const FORMAT = "guyline-backup";
export const BACKUP_VERSION = 1;
export const MOST_BYTES = 64_000_000;
const OWN = new Set(["generation", "keys", "place", "backup", "idle"]);

/** Made, read again from its own bytes, and counted. @param {Store} store @returns {Promise<Made>} */
export async function makeBackup(store) {
  const all = await store.everything();
  const rows = { ...all, preferences: all.preferences.filter(({ name }) => !OWN.has(name)) };
  const text = JSON.stringify(await written(store, rows));
  const made_at = now();
  const file = new File([text], `guyline-backup-${made_at.slice(0, 16).replace(/[-:]/g, "").replace("T", "-")}.json`, { type: "application/json" });
  const counts = await tested(await file.text(), store, rows);
  const seq = Math.max(0, ...all.log.map((row) => row.seq ?? 0));
  const eyes = all.eyes.filter((row) => !row.demo).length;
  return { file, made_at, seq, eyes, sealed: store.sealed, counts };
}

/** @param {Store} store @param {Rows} rows @returns {Promise<Backup>} */
async function written(store, rows) {
  const text = JSON.stringify(rows);
  const head = { format: FORMAT, version: BACKUP_VERSION, made_at: now(), build: build(), counts: counted(rows), sha256: await sha256(text) };
  if (!store.sealed) return { ...head, rows };
  const key = /** @type {CryptoKey} */ (store.codec.key);
  const { iv, bytes } = await seal(key, place(head), new TextEncoder().encode(text));
  return { ...head, ring: await store.ring(), iv: toBase64(iv), bytes: toBase64(bytes) };
}

/** @param {string} text @param {Store} store @param {Rows} rows @returns {Promise<Record<string, number>>} */
async function tested(text, store, rows) {
  const backup = readBackup(text);
  const back = await rowsOf(backup, store.codec.key ?? null);
  const counts = counted(back);
  if (NAMES.some((name) => counts[name] !== (rows[name]?.length ?? 0))) throw new Error(t.store.fileDoesNotHold);
  return counts;
}

/** The file's outside; says in words why it is none. @param {string} text @returns {Backup} */
export function readBackup(text) {
  if (text.length > MOST_BYTES) throw new StoreError("too_large", t.store.fileLargerThanAny);
  const found = parsed(text);
  if (found?.format !== FORMAT) throw new StoreError("no_backup", t.store.notBackupFileApp);
  if (!Number.isInteger(found.version) || found.version > BACKUP_VERSION) {
    throw new StoreError("newer_backup", t.store.newerVersionAppMade);
  }
  return found;
}

/** @param {string} text @returns {any} */
function parsed(text) {
  try {
    return JSON.parse(text);
  } catch {
    throw new StoreError("cut_short", t.store.fileDamagedCutShort);
  }
}

/** The data key of a sealed file: this phone's own when it is the same, else by its passphrase or recovery key.
 * @param {Backup} backup @param {Store} store @param {string} secret @param {import("./keyring.js").Kind} kind
 * @returns {Promise<CryptoKey | null>} */
export async function keyOf(backup, store, secret, kind) {
  if (!backup.ring) return null;
  if (!secret && await isOwn(backup, store)) return store.codec.key ?? null;
  return openRing(backup.ring, secret, kind);
}

/** @param {Backup} backup @param {Store} store */
export async function isOwn(backup, store) {
  if (!store.sealed || !store.codec.key || !backup.ring) return false;
  const own = await store.ring();
  return await isWhole(own) && own.id === backup.ring.id;
}

/** What is inside, proved by its hash. @param {Backup} backup @param {CryptoKey | null} key @returns {Promise<Rows>} */
export async function rowsOf(backup, key) {
  const text = backup.ring ? await deciphered(backup, key) : JSON.stringify(backup.rows ?? null);
  if (await sha256(text) !== backup.sha256) {
    throw new StoreError("damaged_backup", t.store.contentFileDamagedIts);
  }
  return formed(JSON.parse(text));
}

/** @param {Backup} backup @param {CryptoKey | null} key */
async function deciphered(backup, key) {
  if (!key) throw new StoreError("locked", t.store.fileSealedEnterPassphrase);
  try {
    const sealed = { iv: fromBase64(backup.iv ?? ""), bytes: fromBase64(backup.bytes ?? "") };
    return new TextDecoder().decode(await open(key, place(backup), sealed));
  } catch {
    throw new StoreError("damaged_backup", t.store.passphraseRightContentFile);
  }
}

/** @param {{version: number, made_at: string}} head */
const place = ({ version, made_at }) => ["guyline", String(version), "backup", made_at];

/** @param {Rows} rows */
function counted(rows) {
  return Object.fromEntries(NAMES.map((name) => [name, rows?.[name]?.length ?? 0]));
}

/** Handed over: from now on these changes are in a file. @param {Store} store @param {Made} made */
export function handedOver(store, { made_at, seq, eyes }) {
  return store.preference("backup", { at: made_at, seq, eyes });
}

/** Eyes with changes that no backup file holds. @param {Store} store @returns {Promise<{codes: string[], last: any}>} */
export async function atRisk(store) {
  const last = await store.preference("backup");
  const changed = new Set(await store.changedAfter(last?.seq ?? 0));
  const codes = (await store.list()).filter((record) => !record.demo && changed.has(record.code)).map((record) => record.code);
  return { codes, last };
}
