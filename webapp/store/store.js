// The records on this device. Every change and its line in the append-only log are one
// transaction, read back and compared before it counts as saved.
import { Database, StoreError } from "./database.js";
import { same, valueAt, withValue } from "./paths.js";
import { lastUndoable, reversal, stillThere } from "./undo.js";

export { StoreError } from "./database.js";

/** @typedef {Record<string, any> & {code: string, demo?: boolean, eye?: "right" | "left" | null}} Case */
/** @typedef {import("./undo.js").LogEntry} LogEntry */
/** @typedef {{kind: LogEntry["kind"], path: string, from: any, to: any, undoes?: string | null,
 *   record: Case | null, clear?: string}} Change */

export const SCHEMA = 1;
const ALL = /** @type {import("./database.js").StoreName[]} */ (["eyes", "log", "drafts"]);

const now = () => new Date().toISOString();
const build = () => document.querySelector('meta[name="guyline-build"]')?.getAttribute("content") ?? "source";

/**
 * Fires `change` {code, elsewhere}, `not-saved` {code, path, value, why} and `saved` {code, path}.
 */
export class Store extends EventTarget {
  #database = new Database();
  #channel = "BroadcastChannel" in globalThis ? new BroadcastChannel("guyline") : null;
  /** @type {Promise<unknown>} */
  #last = Promise.resolve();
  /** Changes that could not be saved, by "code path". @type {Map<string, string>} */
  failures = new Map();

  constructor() {
    super();
    this.#channel?.addEventListener("message", ({ data }) => this.#tell("change", { code: data.code, elsewhere: true }));
  }

  /** All eyes, the latest change first. @returns {Promise<Case[]>} */
  async list() {
    const eyes = await this.#read(["eyes"], (transaction) => transaction.objectStore("eyes").getAll());
    return eyes.sort((/** @type {Case} */ a, /** @type {Case} */ b) => (a.updated_at < b.updated_at ? 1 : -1));
  }

  /** @param {string} code @returns {Promise<Case | null>} */
  async read(code) {
    return (await this.#read(["eyes"], (transaction) => transaction.objectStore("eyes").get(code))) ?? null;
  }

  /** The log of one eye, oldest first. @param {string} code @returns {Promise<LogEntry[]>} */
  log(code) {
    return this.#read(["log"], (transaction) => transaction.objectStore("log").index("code").getAll(code));
  }

  /** @param {Case} record @returns {Promise<Case>} */
  create(record) {
    return this.#change(record.code, "", record, (before) => {
      if (before) throw new StoreError("exists", `There is already an eye ${record.code}.`);
      return { kind: "create", path: "", from: null, to: record, record };
    });
  }

  /**
   * Replace one value.
   * @param {string} code @param {string} path @param {unknown} value
   * @returns {Promise<Case>} the record as it is now
   */
  commit(code, path, value) {
    return this.#change(code, path, value, (before) => set(present(before, code), path, value));
  }

  /**
   * Add an entry to a list; it is given an id and an instant when it has none.
   * @param {string} code @param {string} path @param {Record<string, unknown>} entry
   * @param {{clear?: string}} [options] `clear`: drafts whose path begins so are done with
   * @returns {Promise<Case>}
   */
  append(code, path, entry, { clear } = {}) {
    const whole = { id: crypto.randomUUID(), at: now(), ...entry };
    return this.#change(code, path, whole, (before) => {
      const record = present(before, code);
      const list = [...(valueAt(record, path) ?? []), whole];
      return { kind: "append", path, from: null, to: whole, record: withValue(record, path, list), clear };
    });
  }

  /** The change that undo would take back. @param {string} code @returns {Promise<LogEntry | null>} */
  async undoable(code) {
    return lastUndoable(await this.log(code));
  }

  /** Take back the last change; this is a new line in the log. @param {string} code */
  async undo(code) {
    const entry = await this.undoable(code);
    if (!entry) throw new StoreError("nothing_to_undo", "There is nothing to undo.");
    const { path, value } = reversal(entry, now());
    return this.#change(code, path, value, (before) => {
      const record = present(before, code);
      if (!stillThere(record, entry)) throw new StoreError("changed", "It has changed since. Nothing was undone.");
      return { ...set(record, path, value), undoes: entry.id };
    });
  }

  /** A demo eye goes with its log; a real one can be restored from its log. @param {string} code */
  async remove(code) {
    const record = present(await this.read(code), code);
    if (record.demo) return this.#erase(code);
    await this.#change(code, "", null, (before) => ({ kind: "remove", path: "", from: before, to: null, record: null }));
  }

  /** Bring back an eye that was removed. @param {string} code @returns {Promise<Case>} */
  async restore(code) {
    const removed = (await this.log(code)).filter((entry) => entry.kind === "remove").at(-1);
    if (!removed) throw new StoreError("not_removed", `The eye ${code} was not removed.`);
    return this.#change(code, "", removed.from, () =>
      ({ kind: "restore", path: "", from: null, to: removed.from, record: removed.from, undoes: removed.id }));
  }

  /**
   * Keep what is being typed; null forgets it.
   * @param {string} code @param {string} path @param {string | null} text
   */
  draft(code, path, text) {
    return this.#queued(() => this.#database.run(["drafts"], "readwrite", async (transaction) => {
      const drafts = transaction.objectStore("drafts");
      if (text === null) await drafts.delete([code, path]);
      else await drafts.put({ code, path, text });
    }));
  }

  /** @param {string} code @returns {Promise<Record<string, string>>} text by path */
  async drafts(code) {
    const range = IDBKeyRange.bound([code], [code, []]);
    const rows = await this.#read(["drafts"], (transaction) => transaction.objectStore("drafts").getAll(range));
    return Object.fromEntries(rows.map((/** @type {any} */ row) => [row.path, row.text]));
  }

  /**
   * Read a preference, or keep one when a value is given.
   * @param {string} name @param {unknown} [value] @returns {Promise<any>}
   */
  async preference(name, value) {
    if (value === undefined) {
      const row = await this.#read(["preferences"], (transaction) => transaction.objectStore("preferences").get(name));
      return row?.value ?? null;
    }
    await this.#queued(() => this.#database.run(["preferences"], "readwrite", (transaction) =>
      transaction.objectStore("preferences").put({ name, value })));
    return value;
  }

  /** True once every change so far has reached the disk or has been reported. */
  async settled() {
    await this.#last;
    return this.failures.size === 0;
  }

  /**
   * @param {import("./database.js").StoreName[]} stores
   * @param {(transaction: any) => Promise<any>} work
   */
  #read(stores, work) {
    return this.#queued(() => this.#database.run(stores, "readonly", work));
  }

  /**
   * One after the other, so that a draft never lands after the commit that ends it.
   * @template T
   * @param {() => Promise<T>} work
   * @returns {Promise<T>}
   */
  #queued(work) {
    const result = this.#last.then(work);
    this.#last = result.catch(() => {});
    return result;
  }

  /**
   * @param {string} code @param {string} path @param {unknown} value
   * @param {(before: Case | undefined) => Change} make
   * @returns {Promise<any>}
   */
  async #change(code, path, value, make) {
    const id = crypto.randomUUID();
    try {
      const record = await this.#queued(async () => {
        await this.#database.run(ALL, "readwrite", (transaction) => write(transaction, code, id, make));
        return this.#database.run(ALL, "readonly", (transaction) => readBack(transaction, code, id));
      });
      this.#saved(code, path, value);
      return record;
    } catch (reason) {
      this.#notSaved(code, path, value, reason);
      throw reason;
    }
  }

  /** @param {string} code */
  async #erase(code) {
    await this.#queued(() => this.#database.run(ALL, "readwrite", async (transaction) => {
      await transaction.objectStore("eyes").delete(code);
      await deleteAll(transaction.objectStore("log").index("code"), IDBKeyRange.only(code));
      await transaction.objectStore("drafts").delete(IDBKeyRange.bound([code], [code, []]));
    }));
    this.#saved(code, "", null);
  }

  /** @param {string} code @param {string} path @param {unknown} value */
  #saved(code, path, value) {
    this.failures.delete(failureKey(code, path, value));
    this.#channel?.postMessage({ code });
    this.#tell("saved", { code, path });
    this.#tell("change", { code, elsewhere: false });
  }

  /** @param {string} code @param {string} path @param {unknown} value @param {unknown} reason */
  #notSaved(code, path, value, reason) {
    const why = reason instanceof Error ? reason.message : String(reason);
    if (!(reason instanceof StoreError)) this.failures.set(failureKey(code, path, value), why);
    this.#tell("not-saved", { code, path, value, why });
  }

  /** @param {string} name @param {object} detail */
  #tell(name, detail) {
    this.dispatchEvent(new CustomEvent(name, { detail }));
  }
}

/** @param {Case | null | undefined} record @param {string} code @returns {Case} */
function present(record, code) {
  if (!record) throw new StoreError("no_such_eye", `There is no eye ${code} on this device.`);
  if (record.schema > SCHEMA) {
    throw new StoreError("newer_schema", "A newer version of the app wrote this eye. It can be read but not changed here.");
  }
  return record;
}

/** @param {Case} record @param {string} path @param {unknown} value @returns {Change} */
function set(record, path, value) {
  return { kind: "set", path, from: valueAt(record, path), to: value, record: withValue(record, path, value) };
}

/**
 * State, log line and the end of the draft, together. Writing twice is recognised by the id.
 * @param {any} transaction @param {string} code @param {string} id
 * @param {(before: Case | undefined) => Change} make
 */
async function write(transaction, code, id, make) {
  const [eyes, log, drafts] = ALL.map((name) => transaction.objectStore(name));
  if (await log.index("id").getKey(id)) return;
  const { record, clear, undoes = null, ...line } = make(await eyes.get(code));
  const at = now();
  if (record) await eyes.put({ ...record, updated_at: at });
  else await eyes.delete(code);
  await log.add({ id, code, at, build: build(), undoes, ...line });
  await drafts.delete([code, line.path]);
  if (clear) await drafts.delete(IDBKeyRange.bound([code, clear], [code, `${clear}\uffff`]));
}

/**
 * What is on the disk must be what was meant, unless a later change has already followed.
 * @param {any} transaction @param {string} code @param {string} id
 */
async function readBack(transaction, code, id) {
  const [eyes, log] = ALL.map((name) => transaction.objectStore(name));
  const line = await log.index("id").get(id);
  const record = await eyes.get(code);
  const latest = (await log.index("code").getAllKeys(code)).at(-1);
  if (!line) throw new Error("The change is missing when read back.");
  if (latest === line.seq && !matches(record, line)) throw new Error("The record differs when read back.");
  return record;
}

/** @param {Case | undefined} record @param {LogEntry} line */
function matches(record, line) {
  if (line.kind === "remove") return record === undefined;
  if (!record) return false;
  if (line.kind === "append") return same(valueAt(record, `${line.path}.${line.to.id}`), line.to);
  if (line.kind === "set") return same(valueAt(record, line.path), line.to);
  return same({ ...record, updated_at: "" }, { ...line.to, updated_at: "" });
}

/** @param {any} index @param {IDBKeyRange} range */
async function deleteAll(index, range) {
  for (let cursor = await index.openCursor(range); cursor; cursor = await cursor.continue()) await cursor.delete();
}

/** Open the records of this device; fails with the reason when the browser keeps none. */
export async function openStore() {
  if (!("indexedDB" in globalThis)) throw new StoreError("no_storage", "This browser cannot keep records.");
  const store = new Store();
  await store.list();
  return store;
}

/**
 * What failed: a value by its path, an entry of a list by its own id too, so that another entry's
 * success does not hide that this one was not saved.
 * @param {string} code @param {string} path @param {unknown} value
 */
function failureKey(code, path, value) {
  const id = value && typeof value === "object" && "id" in value ? value.id : "";
  return `${code} ${path} ${id}`;
}
