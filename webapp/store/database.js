// IndexedDB with three habits: every write waits for the disk, a lost connection is opened
// afresh (a dead handle never comes back), and a hang becomes a named error.
import { openDB } from "idb";

const NAME = "guyline";
const VERSION = 1;
const ATTEMPTS = 3;
const WAIT_MS = 8_000;
const PAUSE_MS = 200;

/** @typedef {"eyes" | "log" | "drafts" | "preferences"} StoreName */
/** @typedef {import("idb").IDBPDatabase<any>} Handle */
/** @typedef {import("idb").IDBPTransaction<any, StoreName[], "readwrite" | "readonly">} Transaction */

/** A refusal by the store itself: trying again would not help. */
export class StoreError extends Error {
  /** @param {string} code @param {string} message */
  constructor(code, message) {
    super(message);
    this.name = "StoreError";
    this.code = code;
  }
}

/** @param {Handle} handle */
function upgrade(handle) {
  handle.createObjectStore("eyes", { keyPath: "code" });
  const log = handle.createObjectStore("log", { keyPath: "seq", autoIncrement: true });
  log.createIndex("code", "code");
  log.createIndex("id", "id", { unique: true });
  handle.createObjectStore("drafts", { keyPath: ["code", "path"] });
  handle.createObjectStore("preferences", { keyPath: "name" });
}

export class Database {
  /** @type {Handle | null} */
  #handle = null;

  /** @returns {Promise<Handle>} */
  async #open() {
    if (this.#handle) return this.#handle;
    const forget = () => { this.#handle = null; };
    const handle = await inTime(openDB(NAME, VERSION, {
      upgrade,
      blocking: () => this.close(),
      terminated: forget,
    }));
    this.#handle = handle;
    return handle;
  }

  close() {
    this.#handle?.close();
    this.#handle = null;
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
      try {
        return await inTime(this.#once(stores, mode, work));
      } catch (reason) {
        if (reason instanceof StoreError) throw reason;
        this.close();
        if (attempt >= ATTEMPTS) throw reason;
        await new Promise((resolve) => setTimeout(resolve, PAUSE_MS * attempt));
      }
    }
  }

  /**
   * @template T
   * @param {StoreName[]} stores
   * @param {"readwrite" | "readonly"} mode
   * @param {(transaction: any) => Promise<T>} work
   * @returns {Promise<T>}
   */
  async #once(stores, mode, work) {
    const handle = await this.#open();
    const transaction = handle.transaction(stores, mode, { durability: "strict" });
    transaction.done.catch(() => {});
    try {
      const result = await work(transaction);
      await transaction.done;
      return result;
    } catch (reason) {
      abort(transaction);
      throw reason;
    }
  }
}

/** @param {{abort(): void}} transaction */
function abort(transaction) {
  try {
    transaction.abort();
  } catch {
    // Already over: nothing of it was written, or the connection is gone.
  }
}

/**
 * @template T
 * @param {Promise<T>} promise
 * @returns {Promise<T>}
 */
function inTime(promise) {
  return new Promise((resolve, reject) => {
    const late = () => reject(new Error("The phone's storage gave no answer."));
    const timer = setTimeout(late, WAIT_MS);
    promise.then(resolve, reject).finally(() => clearTimeout(timer));
  });
}
