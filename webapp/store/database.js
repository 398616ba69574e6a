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
  /** True while rows of before the last move could not be erased. */
  leftOver = false;
  /** Waiting time for one transaction; tests shorten it. */
  wait_ms = WAIT_MS;

  /** @returns {Promise<Handle>} */
  #open() {
    this.#opening ??= this.#chosenInTime();
    return this.#opening;
  }

  /** One that arrives after it was given up is closed at once: it would stand in the way of the next move. */
  async #chosenInTime() {
    const choosing = this.#choose();
    try {
      return await inTime(choosing, this.wait_ms);
    } catch (reason) {
      choosing.then((handle) => handle.close(), () => {});
      this.#opening = null;
      throw reason;
    }
  }

  /** The database with the later generation; what is left of a move is deleted. @returns {Promise<Handle>} */
  async #choose() {
    const names = [OPEN, ...(await exists(SEALED) ? [SEALED] : [])];
    /** @type {{name: string, handle: Handle, generation: number}[]} */
    const found = [];
    try {
      for (const name of names) {
        const handle = await openAny(name, () => this.close());
        found.push({ name, handle, generation: 0 });
      }
      for (const one of found) one.generation = await generationOf(one.handle);
      // Without a word on which counts, an empty one never stands in for one that holds records.
      const unsaid = found.length > 1 && found.every(({ generation }) => generation === 0);
      if (unsaid && !await holdsRows(found[0].handle)) found.reverse();
    } catch (reason) {
      for (const { handle } of found) handle.close();
      throw reason;
    }
    found.sort((one, other) => other.generation - one.generation);
    const [best, ...others] = found;
    this.leftOver = false;
    for (const other of others) if (best.generation > 0) await this.#clean(other);
    for (const { handle } of others) handle.close();
    this.sealed = best.name === SEALED;
    this.#handle = best.handle;
    return best.handle;
  }

  /** What is left of a move must not keep the records from being opened: it is tried again at the next start.
   * @param {{name: string, handle: Handle}} other */
  async #clean({ name, handle }) {
    try {
      const rows = await holdsRows(handle);
      handle.close();
      if (rows) await erase(name, this.wait_ms / 2);
    } catch {
      this.leftOver = true;
    }
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
    const opening = openAny(to, () => {});
    const handle = await inTime(opening, this.wait_ms).catch((reason) => {
      opening.then((late) => late.close(), () => {});
      throw plainly(reason);
    });
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
    // From here on it is done: what cannot be erased now is erased when the records are opened next.
    this.close();
    await erase(from, MOVE_MS).catch(() => {});
    await this.#open();
  }
}

/** A newer build may have opened it with a later version: it is then taken as it is. A handle that stands in
 * the way of another window, or is dead, closes itself.
 * @param {string} name @param {() => void} gone @returns {Promise<Handle>} */
async function openAny(name, gone) {
  /** @type {import("idb").OpenDBCallbacks<any>} */
  const callbacks = {
    blocking: (_version, _next, event) => { /** @type {IDBDatabase} */ (event.target).close(); gone(); },
    terminated: gone,
  };
  try {
    return await openDB(name, VERSION, { ...callbacks, upgrade: (handle, _from, _to, transaction) => upgrade(handle, transaction) });
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

/** From here on this database counts; read back, because the other one is erased next.
 * @param {Handle} handle @param {number} generation */
async function count(handle, generation) {
  const transaction = handle.transaction("preferences", "readwrite", { durability: "strict" });
  await transaction.store.put({ name: "generation", value: generation });
  await transaction.done;
  if (await generationOf(handle) !== generation) throw new Error(t.store.recordDiffersWhenRead);
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
 * @param {string} name @param {number} ms
 */
async function erase(name, ms) {
  await scratch();
  await inTime(deleteDB(name), ms);
  await scratch();
  await scratch();
}

/** Nothing is lost when it fails: the old rows are deleted, only later written over. */
async function scratch() {
  const making = openDB(SCRATCH, 1, { upgrade: (made) => { made.createObjectStore("x"); } });
  try {
    const handle = await inTime(making, WAIT_MS);
    await inTime(handle.put("x", 1, 1), WAIT_MS).finally(() => handle.close());
    await inTime(deleteDB(SCRATCH), WAIT_MS);
  } catch {
    making.then((late) => late.close(), () => {});
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
