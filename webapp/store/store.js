// The records on this device, as the screens use them. Every change and its line in the append-only
// log are one transaction, read back and compared before it counts as saved.
import { keepCopy, keepCount, readCopy, readCount } from "./copy.js";
import { StoreError, words } from "./errors.js";
import { now } from "./keeper.js";
import { LockingKeeper, allRows, mapped } from "./locking.js";
import { valueAt, withEntries, withValue } from "./paths.js";
import { asText, fromText } from "./rows.js";
import { replay } from "./sound.js";
import { NAMES } from "./stores.js";
import { lastUndoable, reversal, stillThere } from "./undo.js";
import { t } from "../words/words.js";

export { StoreError } from "./errors.js";

/** @typedef {import("./keeper.js").Case} Case */
/** @typedef {import("./keeper.js").Change} Change */
/** @typedef {import("./keeper.js").Damaged} Damaged */
/** @typedef {import("./undo.js").LogEntry} LogEntry */
/** @typedef {{code: string, record: Case, at: string, line: string}} Ahead */

export const SCHEMA = 1;
const EYES = ["eyes", "log", "drafts"];

/**
 * Fires `change` {code, elsewhere}, `not-saved` {code, path, value, why}, `saved` {code, path},
 * `locked`, `unlocked`, `sealed` {sealed} and `moved`.
 */
export class Store extends LockingKeeper {
  /** The second copy's change that was taken over, or is being. */
  #adopted = "";

  constructor() {
    super();
    this.channel?.addEventListener("message", ({ data }) => {
      if (data.code) this.tell("change", { code: data.code, elsewhere: true });
    });
  }

  /** All sound eyes, the latest change first. @returns {Promise<Case[]>} */
  async list() {
    const { sound } = await this.#eyes();
    return sound.sort((a, b) => (a.updated_at < b.updated_at ? 1 : -1));
  }

  /** Eyes whose records cannot be shown; nothing of them is changed. @returns {Promise<Damaged[]>} */
  async damaged() {
    return (await this.#eyes()).damaged;
  }

  async #eyes() {
    return this.sorted(await this.readOnly(["eyes"], (transaction) => transaction.objectStore("eyes").getAll()));
  }

  /** @param {string} code @returns {Promise<Case | null>} */
  async read(code) {
    return await this.sound(await this.readOnly(["eyes"], (transaction) => transaction.objectStore("eyes").get(code))) ?? null;
  }

  /** The log of one eye, oldest first. @param {string} code @returns {Promise<LogEntry[]>} */
  async log(code) {
    const rows = await this.readOnly(["log"], (transaction) => transaction.objectStore("log").index("code").getAll(code));
    return Promise.all(rows.map((/** @type {any} */ row) => this.unpacked("log", row)));
  }

  /** @param {Case} record @returns {Promise<Case>} */
  create(record) {
    return this.change(record.code, "", record, (before) => {
      if (before) throw new StoreError("exists", t.store.thereAlreadyEye(record.code));
      return { kind: "create", path: "", from: null, to: record, record };
    });
  }

  /**
   * Replace one value.
   * @param {string} code @param {string} path @param {unknown} value
   * @returns {Promise<Case>} the record as it is now
   */
  commit(code, path, value) {
    return this.change(code, path, value, (before) => set(present(before, code), path, value));
  }

  /**
   * Add an entry to a list; it is given an id and an instant when it has none.
   * @param {string} code @param {string} path @param {Record<string, unknown>} entry
   * @param {{clear?: string, also?: {path: string, entry: Record<string, unknown>} | null}} [options] `clear`: drafts
   *   whose path begins so are done with; `also`: a second entry that is stored with this one or not at all
   * @returns {Promise<Case>}
   */
  append(code, path, entry, { clear, also = null } = {}) {
    const whole = { id: crypto.randomUUID(), at: now(), ...entry };
    const second = also && { path: also.path, to: { id: crypto.randomUUID(), at: now(), ...also.entry } };
    return this.change(code, path, whole, (before) => {
      const record = present(before, code);
      const line = { path, to: whole, ...(second ? { also: second } : {}) };
      return { kind: "append", from: null, ...line, record: withEntries(record, line), clear };
    });
  }

  /** Codes in the log after a line. @param {number} seq @returns {Promise<string[]>} */
  async changedAfter(seq) {
    const rows = await this.readOnly(["log"], (transaction) => transaction.objectStore("log").getAll(IDBKeyRange.lowerBound(seq, true)));
    return rows.map((/** @type {any} */ row) => row.code);
  }

  /** What came from another phone's file: the eye as merged, and the lines of its log that are new here.
   * @param {string} code @param {Case | null} record @param {LogEntry[]} lines */
  takeIn(code, record, lines) {
    return this.change(code, "", record, (before) => (record
      ? { kind: "merge", path: "", from: before ?? null, to: record, record, lines }
      : { kind: "remove", path: "", from: before ?? null, to: null, record, lines }), { damagedToo: true });
  }

  /** The change that undo would take back. @param {string} code @returns {Promise<LogEntry | null>} */
  async undoable(code) {
    return lastUndoable(await this.log(code));
  }

  /** Take back the last change; this is a new line in the log. @param {string} code */
  async undo(code) {
    const entry = await this.undoable(code);
    if (!entry) throw new StoreError("nothing_to_undo", t.store.thereNothingUndo);
    const { path, value } = reversal(entry, now());
    return this.change(code, path, value, (before) => {
      const record = present(before, code);
      if (!stillThere(record, entry)) throw new StoreError("changed", t.store.hasChangedSinceNothing);
      return { ...set(record, path, value), undoes: entry.id };
    });
  }

  /** A demo eye goes with its log; a real one can be restored from its log. @param {string} code */
  async remove(code) {
    const record = present(await this.read(code), code);
    if (record.demo) return this.#erase(code);
    await this.change(code, "", null, (before) => ({ kind: "remove", path: "", from: before, to: null, record: null }));
  }

  /** Bring back an eye that was removed. @param {string} code @returns {Promise<Case>} */
  async restore(code) {
    const removed = (await this.log(code)).filter((entry) => entry.kind === "remove").at(-1);
    if (!removed) throw new StoreError("not_removed", t.store.eyeWasNotRemoved(code));
    return this.#replaced(code, removed.from, { undoes: removed.id });
  }

  /** What the log of a damaged eye amounts to, or null. @param {string} code @returns {Promise<Case | null>} */
  async fromLog(code) {
    return replay(await this.log(code).catch(() => []));
  }

  /** A damaged record is replaced by what its log amounts to. @param {string} code */
  async rebuild(code) {
    const record = await this.fromLog(code);
    if (!record) throw new StoreError("no_log", t.store.logDoesNotHold(code));
    return this.#replaced(code, record, {}, true);
  }

  /** The second copy, when it knows of a change that the first does not hold. @returns {Promise<Ahead | null>} */
  async ahead() {
    const copy = await readCopy();
    if (!copy?.line || copy.line === this.#adopted) return null;
    const known = await this.readOnly(["log"], (transaction) => transaction.objectStore("log").index("id").getKey(copy.line));
    const record = known === undefined ? await this.unpacked("eyes", fromText(copy.row)).catch(() => null) : null;
    return record && { code: record.code, record, at: copy.at, line: copy.line };
  }

  /** The second copy becomes the eye again. @param {Ahead} ahead */
  adopt({ code, record, line }) {
    this.#adopted = line;
    return this.#replaced(code, record, {}, true);
  }

  /** The second copy is not wanted. */
  forgetCopy() {
    return keepCopy(null);
  }

  /** How many eyes should be here, when there is not one trace of any. @returns {Promise<import("./copy.js").Count | null>} */
  async missing() {
    const lines = await this.readOnly(["eyes", "log"], async (transaction) =>
      await transaction.objectStore("log").count() + await transaction.objectStore("eyes").count());
    const count = lines ? null : await readCount();
    return count?.eyes ? count : null;
  }

  /** The records are gone and that is known now. */
  startEmpty() {
    return keepCount(0);
  }

  /** @param {string} code @param {Case} record @param {{undoes?: string}} [more] @param {boolean} [damagedToo] @returns {Promise<Case>} */
  #replaced(code, record, more = {}, damagedToo = false) {
    return this.change(code, "", record, (before) =>
      ({ kind: "restore", path: "", from: before ?? null, to: record, record, ...more }), { damagedToo });
  }

  /**
   * Keep what is being typed; null forgets it.
   * @param {string} code @param {string} path @param {string | null} text
   */
  draft(code, path, text) {
    return this.queued(async () => {
      const row = text === null ? null : await this.codec.pack("drafts", { code, path, text });
      return this.write(["drafts"], async (transaction) => {
        const drafts = transaction.objectStore("drafts");
        if (row) await drafts.put(row);
        else await drafts.delete([code, path]);
      });
    });
  }

  /** @param {string} code @returns {Promise<Record<string, string>>} text by path */
  async drafts(code) {
    const range = IDBKeyRange.bound([code], [code, []]);
    const rows = await this.readOnly(["drafts"], (transaction) => transaction.objectStore("drafts").getAll(range));
    const opened = await Promise.all(rows.map((/** @type {any} */ row) => this.unpacked("drafts", row).catch(() => null)));
    return Object.fromEntries(opened.filter(Boolean).map((row) => [row.path, row.text]));
  }

  /**
   * Read a preference, or keep one when a value is given.
   * @param {string} name @param {unknown} [value] @returns {Promise<any>}
   */
  async preference(name, value) {
    if (value === undefined) {
      const row = await this.readOnly(["preferences"], (transaction) => transaction.objectStore("preferences").get(name));
      return (await this.unpacked("preferences", row))?.value ?? null;
    }
    await this.queued(async () => {
      const row = await this.codec.pack("preferences", { name, value });
      return this.write(["preferences"], (transaction) => transaction.objectStore("preferences").put(row));
    });
    return value;
  }

  /** Every row of every store, deciphered; a damaged one comes as it lies, marked. @returns {Promise<Record<string, any[]>>} */
  async everything() {
    const rows = await this.queued(() => this.database.run(NAMES, "readonly", allRows));
    return mapped(rows, async (name, row) => {
      try {
        return await this.unpacked(name, row);
      } catch (reason) {
        if (this.locked) throw reason;
        return { ...asText(row), damaged: words(reason) };
      }
    });
  }

  /** @param {string} code */
  async #erase(code) {
    await this.queued(() => this.write(EYES, async (transaction) => {
      await transaction.objectStore("eyes").delete(code);
      await deleteAll(transaction.objectStore("log").index("code"), IDBKeyRange.only(code));
      await transaction.objectStore("drafts").delete(IDBKeyRange.bound([code], [code, []]));
    }));
    this.saved(code, "", null, null);
  }
}

/** @param {Case | null | undefined} record @param {string} code @returns {Case} */
function present(record, code) {
  if (!record) throw new StoreError("no_such_eye", t.store.thereNoEyeDevice(code));
  if (record.schema > SCHEMA) {
    throw new StoreError("newer_schema", t.store.newerVersionAppWrote);
  }
  return record;
}

/** @param {Case} record @param {string} path @param {unknown} value @returns {Change} */
function set(record, path, value) {
  return { kind: "set", path, from: valueAt(record, path), to: value, record: withValue(record, path, value) };
}

/** @param {any} index @param {IDBKeyRange} range */
async function deleteAll(index, range) {
  for (let cursor = await index.openCursor(range); cursor; cursor = await cursor.continue()) await cursor.delete();
}

/** Open the records of this device; fails with the reason when the browser keeps none. */
export async function openStore() {
  if (!("indexedDB" in globalThis)) throw new StoreError("no_storage", t.store.browserCannotKeepRecords);
  const store = new Store();
  await store.begin();
  return store;
}
