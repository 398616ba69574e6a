// IndexedDB with four habits: every write waits for the disk, a lost connection is opened afresh (a
// dead handle never comes back), a hang becomes a named error, and the records lie in one of two
// databases: open or sealed. Which one counts is written in them, so that a move is whole or has not been.
import { deleteDB, openDB } from "idb";
import { StoreError, plainly } from "./errors.js";
import { NAMES, VERSION, upgrade } from "./stores.js";
import { t } from "../words/words.js";

export { StoreError } from "./errors.js";

const OPEN = "guyline";
const SEALED = "guyline-sealed";
const SCRATCH = "guyline-scratch";
const ATTEMPTS = 3;
const WAIT_MS = 8_000;
const MOVE_MS = 60_000;
const PAUSE_MS = 200;

/** @typedef {string} StoreName */
/** @typedef {import("idb").IDBPDatabase<any>} Handle */
/** One try of a transaction; over once it was given up. @typedef {{over: boolean, transaction: {abort(): void} | null}} Attempt */

export class Database {
  /** @type {Promise<Handle> | null} */
  #opening = null;
  /** @type {Handle | null} */
  #handle = null;
  /** True when the rows of this database are sealed. */
  sealed = false;
  /** Waiting time for one transaction; tests shorten it. */
  wait_ms = WAIT_MS;

  /** @returns {Promise<Handle>} */
  #open() {
    this.#opening ??= inTime(this.#choose(), this.wait_ms).catch((reason) => {
      this.#opening = null;
      throw reason;
    });
    return this.#opening;
  }

  /** The database with the later generation; what is left of a move is deleted. @returns {Promise<Handle>} */
  async #choose() {
    const forget = () => { this.close(); };
    const names = [OPEN, ...(await exists(SEALED) ? [SEALED] : [])];
    const found = [];
    for (const name of names) {
      const handle = await openAny(name, { blocking: forget, terminated: forget });
      found.push({ name, handle, generation: await generationOf(handle) });
    }
    found.sort((one, other) => other.generation - one.generation);
    const [best, ...others] = found;
    for (const { name, handle } of others) {
      const leftOver = best.generation > 0 && await holdsRows(handle);
      handle.close();
      if (leftOver) await erase(name);
    }
    this.sealed = best.name === SEALED;
    this.#handle = best.handle;
    return best.handle;
  }

  close() {
    this.#handle?.close();
    this.#handle = null;
    this.#opening = null;
  }

  /**
   * One transaction; tried again on a fresh connection when the old one is lost. `work` may
   * therefore run more than once and must recognise what it has already written.
   * @template T
   * @param {StoreName[]} stores
   * @param {"readwrite" | "readonly"} mode
   * @param {(transaction: any) => Promise<T>} work
   * @returns {Promise<T>}
   */
  async run(stores, mode, work) {
    for (let attempt = 1; ; attempt += 1) {
      /** @type {Attempt} */
      const one = { over: false, transaction: null };
      try {
        return await inTime(this.#once(stores, mode, work, one), this.wait_ms);
      } catch (reason) {
        giveUp(one);
        if (reason instanceof StoreError) throw reason;
        this.close();
        if (attempt >= ATTEMPTS) throw plainly(reason);
        await new Promise((resolve) => setTimeout(resolve, PAUSE_MS * attempt));
      }
    }
  }

  /**
   * @template T
   * @param {StoreName[]} stores
   * @param {"readwrite" | "readonly"} mode
   * @param {(transaction: any) => Promise<T>} work
   * @param {Attempt} one
   * @returns {Promise<T>}
   */
  async #once(stores, mode, work, one) {
    const handle = await this.#open();
    if (one.over) throw new Error(t.store.phonesStorageGaveNo);
    const transaction = handle.transaction(stores, mode, { durability: "strict" });
    one.transaction = transaction;
    transaction.done.catch(() => {});
    try {
      const result = await work(transaction);
      await transaction.done;
      return result;
    } catch (reason) {
      throw reason instanceof StoreError ? reason : transaction.error ?? reason;
    }
  }

  /** Open the right database and say whether its rows are sealed. @returns {Promise<boolean>} */
  async isSealed() {
    await this.#open();
    return this.sealed;
  }

  /**
   * All rows into the other database, proved there; then one small write makes it the one that
   * counts, and only after that is the old one erased.
   * @param {boolean} sealed @param {Record<string, any[]>} rows @param {(handle: Handle) => Promise<void>} proof
   */
  async move(sealed, rows, proof) {
    const generation = await generationOf(await this.#open());
    const [from, to] = sealed ? [OPEN, SEALED] : [SEALED, OPEN];
    const handle = await inTime(openAny(to, {}), this.wait_ms);
    try {
      await inTime(fill(handle, rows), MOVE_MS);
      await proof(handle);
      await inTime(count(handle, generation + 1), this.wait_ms);
    } catch (reason) {
      await inTime(empty(handle), MOVE_MS).catch(() => {});
      throw plainly(reason);
    } finally {
      handle.close();
    }
    this.close();
    await erase(from);
    await this.#open();
  }
}

/** A newer build may have opened it with a later version: it is then taken as it is.
 * @param {string} name @param {import("idb").OpenDBCallbacks<any>} callbacks @returns {Promise<Handle>} */
async function openAny(name, callbacks) {
  const all = { ...callbacks, upgrade: (/** @type {any} */ handle, /** @type {any} */ _from, /** @type {any} */ _to, /** @type {any} */ transaction) => upgrade(handle, transaction) };
  try {
    return await openDB(name, VERSION, all);
  } catch (reason) {
    if (/** @type {Error} */ (reason).name !== "VersionError") throw reason;
    return openDB(name, undefined, callbacks);
  }
}

/** @param {string} name */
async function exists(name) {
  if (!indexedDB.databases) return true;
  return (await indexedDB.databases()).some((one) => one.name === name);
}

/** @param {Handle} handle @returns {Promise<number>} */
async function generationOf(handle) {
  return (await handle.get("preferences", "generation"))?.value ?? 0;
}

/** @param {Handle} handle */
async function holdsRows(handle) {
  const counts = await Promise.all([...handle.objectStoreNames].map((name) => handle.count(name)));
  return counts.some((count) => count > 0);
}

/** @param {Handle} handle @param {Record<string, any[]>} rows */
async function fill(handle, rows) {
  const transaction = handle.transaction(NAMES, "readwrite", { durability: "strict" });
  for (const name of NAMES) {
    const store = transaction.objectStore(name);
    await store.clear();
    for (const row of rows[name] ?? []) if (row.name !== "generation") await store.put(row);
  }
  await transaction.done;
}

/** From here on this database counts. @param {Handle} handle @param {number} generation */
async function count(handle, generation) {
  const transaction = handle.transaction("preferences", "readwrite", { durability: "strict" });
  await transaction.store.put({ name: "generation", value: generation });
  await transaction.done;
}

/** @param {Handle} handle */
async function empty(handle) {
  const transaction = handle.transaction(NAMES, "readwrite", { durability: "strict" });
  await Promise.all(NAMES.map((name) => transaction.objectStore(name).clear()));
  await transaction.done;
}

/**
 * Deletes a database, and what the engine would keep of it: engines that write journals hold deleted rows
 * until they are rewritten, which deleting another database makes them do.
 * @param {string} name
 */
async function erase(name) {
  await scratch();
  await inTime(deleteDB(name), MOVE_MS);
  await scratch();
  await scratch();
}

async function scratch() {
  try {
    const handle = await openDB(SCRATCH, 1, { upgrade: (made) => { made.createObjectStore("x"); } });
    await handle.put("x", 1, 1);
    handle.close();
    await deleteDB(SCRATCH);
  } catch {
    // Nothing is lost by it: the old rows are deleted, only later written over.
  }
}

/** What was given up must not be written later, after "not saved" was said. @param {Attempt} one */
function giveUp(one) {
  one.over = true;
  try {
    one.transaction?.abort();
  } catch {
    // Already over: nothing of it was written, or the connection is gone.
  }
}

/**
 * @template T
 * @param {Promise<T>} promise
 * @param {number} ms
 * @returns {Promise<T>}
 */
function inTime(promise, ms) {
  return new Promise((resolve, reject) => {
    const late = () => reject(new Error(t.store.phonesStorageGaveNo));
    const timer = setTimeout(late, ms);
    promise.then(resolve, reject).finally(() => clearTimeout(timer));
  });
}
