// The optional passphrase: set, used, changed and taken away. The records are moved between an open and
// a sealed database in one transaction, so that whatever fails on the way leaves one whole set behind.
import { keepCopy, keepRing, readCopy, readRing } from "./copy.js";
import { NAMES } from "./stores.js";
import { StoreError } from "./errors.js";
import { Keeper, alone } from "./keeper.js";
import { isWhole, newRing, openRing, withPassphrase } from "./keyring.js";
import { lockedRows, plainRows, sealedRows } from "./rows.js";
import { t } from "../words/words.js";

/** @typedef {import("./keyring.js").Ring} Ring */
/** @typedef {import("./keyring.js").Kind} Kind */

export class LockingKeeper extends Keeper {
  /** True when there is a passphrase. */
  sealed = false;
  /** May another window lock this one? Not in theatre. */
  mayLock = () => true;

  /** True while the records cannot be read. */
  get locked() {
    return this.codec === lockedRows;
  }

  /** Looks which database counts; a sealed one is locked until its passphrase is entered. */
  async begin() {
    this.sealed = await this.database.isSealed();
    this.codec = this.sealed ? lockedRows : plainRows;
    if (this.sealed) void this.#forgetOpenCopy();
    this.channel?.addEventListener("message", ({ data }) => {
      if (data.lock && this.mayLock()) this.#lockHere();
      if (data.moved) this.tell("moved", {});
    });
  }

  /** @param {string} secret @param {Kind} kind */
  async unlock(secret, kind = "passphrase") {
    this.codec = sealedRows(await openRing(await this.ring(), secret, kind));
    this.tell("unlocked", {});
  }

  /** Forget the key, here and in every other window. */
  async lock() {
    await this.settled();
    this.channel?.postMessage({ lock: true });
    this.#lockHere();
  }

  #lockHere() {
    if (!this.sealed || this.locked) return;
    this.forgetKey();
    this.tell("locked", {});
  }

  /** The wrapped keys; from their second copy when the first is damaged. @returns {Promise<Ring>} */
  async ring() {
    const row = await this.readOnly(["preferences"], (transaction) => transaction.objectStore("preferences").get("keys"));
    const copy = readRing();
    return !await isWhole(row?.value) && await isWhole(copy) ? copy : row?.value;
  }

  /** Seal everything. @param {string} passphrase @returns {Promise<string>} the recovery key, shown once */
  async setPassphrase(passphrase) {
    const { ring, key, recovery } = await newRing(passphrase);
    await this.#move(sealedRows(key), [{ name: "keys", value: ring }]);
    keepRing(ring);
    return recovery;
  }

  /** @param {string} old @param {string} passphrase @param {Kind} kind how the old secret is meant */
  async changePassphrase(old, passphrase, kind = "passphrase") {
    const ring = await withPassphrase(await this.ring(), old, kind, passphrase);
    await this.queued(() => this.write(["preferences"], (transaction) => transaction.objectStore("preferences").put({ name: "keys", value: ring })));
    await openRing(await this.ring(), passphrase, "passphrase");
    keepRing(ring);
  }

  /** @param {string} passphrase */
  async removePassphrase(passphrase) {
    await openRing(await this.ring(), passphrase, "passphrase");
    await this.#move(plainRows, []);
    keepRing(null);
  }

  /** @param {import("./rows.js").Codec} codec @param {any[]} preferences */
  async #move(codec, preferences) {
    if (this.locked) throw new StoreError("locked", t.store.enterPassphraseFirst);
    const sealed = codec !== plainRows;
    await this.queued(() => alone(async () => {
      const rows = await this.#all();
      rows.preferences = [...rows.preferences.filter(({ name }) => name !== "keys"), ...preferences];
      const packed = await mapped(rows, (name, row) => codec.pack(name, row));
      await this.database.move(sealed, packed, (handle) => proved(handle, codec, rows));
    }));
    this.codec = codec;
    this.sealed = sealed;
    if (!await keepCopy(null)) this.database.leftOver = true;
    this.channel?.postMessage({ moved: true });
    this.tell("sealed", { sealed });
  }

  /** A second copy from before the passphrase that could not be forgotten then. */
  async #forgetOpenCopy() {
    const copy = await readCopy();
    if (copy?.row && !copy.row.sealed && !await keepCopy(null)) this.database.leftOver = true;
  }

  /** Every row of every store, opened; a damaged one stops the move. @returns {Promise<Record<string, any[]>>} */
  async #all() {
    const rows = await this.database.run(NAMES, "readonly", allRows);
    return mapped(rows, (name, row) => this.codec.unpack(name, row));
  }
}

/** @param {any} transaction @returns {Promise<Record<string, any[]>>} */
export async function allRows(transaction) {
  const rows = await Promise.all(NAMES.map((name) => transaction.objectStore(name).getAll()));
  return Object.fromEntries(NAMES.map((name, at) => [name, rows[at]]));
}

/** @param {Record<string, any[]>} rows @param {(name: string, row: any) => Promise<any>} work
 * @returns {Promise<Record<string, any[]>>} */
export async function mapped(rows, work) {
  const pairs = await Promise.all(Object.entries(rows).map(async ([name, list]) =>
    [name, await Promise.all(list.map((row) => work(name, row)))]));
  return Object.fromEntries(pairs);
}

/** Every moved row opens again to what it was, before the old ones go.
 * @param {import("idb").IDBPDatabase<any>} handle @param {import("./rows.js").Codec} codec @param {Record<string, any[]>} rows */
async function proved(handle, codec, rows) {
  const moved = await mapped(await allRows(handle.transaction(NAMES)), (name, row) => codec.unpack(name, row));
  for (const name of NAMES) {
    const texts = new Set(moved[name].map((row) => JSON.stringify(row)));
    const missing = rows[name].filter((row) => !texts.has(JSON.stringify(row)) && row.name !== "generation");
    if (missing.length) throw new Error(t.store.rowsCouldNotRead(missing.length, name));
  }
}
