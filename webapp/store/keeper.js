// How a change reaches the disk: sealed if the records are locked, checked against what it was made
// from, written together with its line in the log, and read back before it counts as saved.
import { keepCopy, keepCount } from "./copy.js";
import { Database } from "./database.js";
import { StoreError, words } from "./errors.js";
import { same, valueAt } from "./paths.js";
import { asText, lockedRows, plainRows } from "./rows.js";
import { faultOf } from "./sound.js";
import { t } from "../words/words.js";

/** @typedef {Record<string, any> & {code: string, demo?: boolean, eye?: "right" | "left" | null}} Case */
/** @typedef {import("./undo.js").LogEntry} LogEntry */
/** @typedef {{kind: LogEntry["kind"], path: string, from: any, to: any, undoes?: string | null,
 *   record: Case | null, clear?: string, lines?: LogEntry[]}} Change `lines`: of another phone's log, kept with it */
/** @typedef {{code: string, why: string, raw: any}} Damaged */
/** @typedef {{raw: any, latest: number | null}} State */
/** What a change writes: its rows as they lie on the disk, and the lines of the log as they must be read back.
 * @typedef {{eye: any, line: any, others: any[]}} Rows
 * @typedef {{entries: any[], rows: Rows}} Meant */

const ALL = ["eyes", "log", "drafts"];
const WRITERS = "guyline-writers";
const LOCK_MS = 8_000;

export const now = () => new Date().toISOString();
export const build = () => document.querySelector('meta[name="guyline-build"]')?.getAttribute("content") ?? "source";

export class Keeper extends EventTarget {
  database = new Database();
  /** @type {import("./rows.js").Codec} */
  codec = plainRows;
  channel = "BroadcastChannel" in globalThis ? new BroadcastChannel("guyline") : null;
  /** @type {Promise<unknown>} */
  #last = Promise.resolve();
  /** Changes under way. */
  #busy = 0;
  /** Changes that could not be saved, by "code path". @type {Map<string, string>} */
  failures = new Map();

  /** Nothing is under way and nothing has failed. */
  get quiet() {
    return this.#busy === 0 && this.failures.size === 0;
  }

  /** True once every change so far has reached the disk or has been reported. */
  async settled() {
    await this.#last;
    return this.failures.size === 0;
  }

  /**
   * One after the other, so that a draft never lands after the commit that ends it.
   * @template T
   * @param {() => Promise<T>} work
   * @returns {Promise<T>}
   */
  queued(work) {
    this.#busy += 1;
    const result = this.#last.then(work).finally(() => { this.#busy -= 1; });
    this.#last = result.catch(() => {});
    return result;
  }

  /** @param {string[]} stores @param {(transaction: any) => Promise<any>} work */
  readOnly(stores, work) {
    return this.queued(() => this.database.run(stores, "readonly", work));
  }

  /** Rows are written only in the form of the database that counts now, and not while it is moved.
   * @template T
   * @param {string[]} stores @param {(transaction: any) => Promise<T>} work @returns {Promise<T>} */
  write(stores, work) {
    const { codec } = this;
    return shared(() => this.database.run(stores, "readwrite", (transaction) => {
      if (this.database.sealed === (codec === plainRows)) {
        throw new StoreError("moved", t.store.passphraseWasSetRemoved);
      }
      return work(transaction);
    }));
  }

  /** @param {string} store @param {any} row @returns {Promise<any>} */
  async unpacked(store, row) {
    return row === undefined ? undefined : this.codec.unpack(store, row);
  }

  /** Sound rows, and those that are not. @param {any[]} rows @returns {Promise<{sound: Case[], damaged: Damaged[]}>} */
  async sorted(rows) {
    /** @type {Case[]} */ const sound = [];
    /** @type {Damaged[]} */ const damaged = [];
    await Promise.all(rows.map(async (raw) => {
      const { record, why } = await this.#opened(raw);
      if (why) damaged.push({ code: String(raw?.code ?? "?"), why, raw: record ?? raw });
      else sound.push(record);
    }));
    return { sound, damaged };
  }

  /** @param {any} raw @returns {Promise<{record: any, why: string}>} */
  async #opened(raw) {
    try {
      const record = await this.unpacked("eyes", raw);
      return { record, why: faultOf(record) };
    } catch (reason) {
      if (reason instanceof StoreError && reason.code === "damaged") return { record: null, why: t.store.cannotDeciphered };
      throw reason;
    }
  }

  /** The record; refused when it is damaged. @param {any} raw @returns {Promise<Case | undefined>} */
  async sound(raw) {
    if (raw === undefined) return undefined;
    const { record, why } = await this.#opened(raw);
    if (why) throw new StoreError("damaged", t.store.eyesRecordDamagedKept(why));
    return record;
  }

  /**
   * @param {string} code @param {string} path @param {unknown} value
   * @param {(before: Case | undefined) => Change} make
   * @param {{damagedToo?: boolean}} [options] a damaged record may be replaced as a whole
   * @returns {Promise<any>} the record as it is now
   */
  async change(code, path, value, make, { damagedToo = false } = {}) {
    const id = crypto.randomUUID();
    let record;
    try {
      record = await this.queued(() => this.#written(code, id, make, damagedToo));
    } catch (reason) {
      this.notSaved(code, path, value, reason);
      throw reason;
    }
    this.saved(code, path, value, { id, record });
    return record;
  }

  /** Made again from the newest record when another window was faster; written once more when it differs.
   * @param {string} code @param {string} id @param {(before: Case | undefined) => Change} make @param {boolean} damagedToo */
  async #written(code, id, make, damagedToo) {
    for (;;) {
      const { raw, latest } = await this.database.run(ALL, "readonly", (transaction) => state(transaction, code));
      const change = make(damagedToo ? undefined : await this.sound(raw));
      const meant = await this.#packed(code, id, change);
      const { rows } = meant;
      if (!await this.write(ALL, (transaction) => put(transaction, { code, id, latest, rows, change }))) continue;
      const found = await this.#readBack(code, meant);
      if (found.whole) return found.record;
      await this.write(ALL, (transaction) => putAgain(transaction, { code, id, rows }));
      const again = await this.#readBack(code, meant);
      if (again.whole) return again.record;
      throw new Error(t.store.recordDiffersWhenRead);
    }
  }

  /** @param {string} code @param {string} id @param {Change} change @returns {Promise<Meant>} */
  async #packed(code, id, { record, clear: _clear, lines = [], undoes = null, ...line }) {
    const at = now();
    const entry = { id, code, at, build: build(), undoes, ...line };
    const others = lines.map(({ seq: _seq, ...other }) => other);
    return {
      entries: [entry, ...others],
      rows: {
        eye: record && await this.codec.pack("eyes", { ...record, updated_at: at }),
        line: await this.codec.pack("log", entry),
        others: await Promise.all(others.map((other) => this.codec.pack("log", other))),
      },
    };
  }

  /** What is on the disk must be what was meant, unless a later change has already followed.
   * @param {string} code @param {Meant} meant @returns {Promise<{whole: boolean, record: any}>} */
  async #readBack(code, { entries }) {
    const found = await this.database.run(ALL, "readonly", async (transaction) => ({
      ...await state(transaction, code),
      lines: await Promise.all(entries.map(({ id }) => transaction.objectStore("log").index("id").get(id))),
    }));
    if (!found.lines[0]) throw new Error(t.store.changeMissingWhenRead);
    try {
      const lines = await Promise.all(found.lines.map((line) => this.unpacked("log", line)));
      const record = await this.unpacked("eyes", found.raw);
      const logged = lines.every((line, at) => same({ ...line, seq: null }, { ...entries[at], seq: null }));
      return { whole: logged && (found.latest !== found.lines[0].seq || matches(record, lines[0])), record };
    } catch (reason) {
      if (reason instanceof StoreError && reason.code === "damaged") return { whole: false, record: null };
      throw reason;
    }
  }

  /** @param {string} code @param {string} path @param {unknown} value @param {{id: string, record: any} | null} news */
  saved(code, path, value, news) {
    this.failures.delete(failureKey(code, path, value));
    this.channel?.postMessage({ code });
    this.tell("saved", { code, path });
    this.tell("change", { code, elsewhere: false });
    void this.#secondCopy(code, news);
  }

  /** @param {string} code @param {{id: string, record: any} | null} news */
  async #secondCopy(code, news) {
    try {
      const row = news?.record ? await this.codec.pack("eyes", { ...news.record, code }) : null;
      await keepCopy(row && news && { line: news.id, at: now(), row: asText(row) });
      await keepCount(await this.readOnly(["eyes"], (transaction) => transaction.objectStore("eyes").count()));
    } catch {
      // The first copy is on the disk; the second is tried again with the next change.
    }
  }

  /** @param {string} code @param {string} path @param {unknown} value @param {unknown} reason */
  notSaved(code, path, value, reason) {
    const why = words(reason);
    if (!(reason instanceof StoreError)) this.failures.set(failureKey(code, path, value), why);
    this.tell("not-saved", { code, path, value, why });
  }

  /** @param {string} name @param {object} detail */
  tell(name, detail) {
    this.dispatchEvent(new CustomEvent(name, { detail }));
  }

  /** The key is forgotten. */
  forgetKey() {
    this.codec = lockedRows;
  }
}

/** The record as it lies there, and the newest line of its log. @param {any} transaction @param {string} code
 * @returns {Promise<State>} */
async function state(transaction, code) {
  const raw = await transaction.objectStore("eyes").get(code);
  const cursor = await transaction.objectStore("log").index("code").openKeyCursor(IDBKeyRange.only(code), "prev");
  return { raw, latest: cursor?.primaryKey ?? null };
}

/**
 * State, log line and the end of the draft, together. Writing twice is recognised by the id; false when
 * the eye has changed since the change was made from it.
 * @param {any} transaction
 * @param {{code: string, id: string, latest: number | null, rows: Rows, change: Change}} all
 */
async function put(transaction, { code, id, latest, rows, change }) {
  const [eyes, log, drafts] = ALL.map((name) => transaction.objectStore(name));
  if (await log.index("id").getKey(id)) return true;
  if ((await state(transaction, code)).latest !== latest) return false;
  if (rows.eye) await eyes.put(rows.eye);
  else await eyes.delete(code);
  for (const other of rows.others) if (!await log.index("id").getKey(other.id)) await log.add(other);
  await log.add(rows.line);
  await drafts.delete([code, change.path]);
  if (change.clear) await drafts.delete(IDBKeyRange.bound([code, change.clear], [code, `${change.clear}\uffff`]));
  return true;
}

/** The same rows in the same places, unless a later change has followed.
 * @param {any} transaction @param {{code: string, id: string, rows: Rows}} all */
async function putAgain(transaction, { code, id, rows }) {
  const log = transaction.objectStore("log");
  const seq = await log.index("id").getKey(id);
  for (const row of [rows.line, ...rows.others]) await log.put({ ...row, seq: await log.index("id").getKey(row.id) });
  if ((await state(transaction, code)).latest === seq && rows.eye) await transaction.objectStore("eyes").put(rows.eye);
}

/** @param {Case | undefined} record @param {LogEntry} line */
function matches(record, line) {
  if (line.kind === "remove") return record === undefined;
  if (!record) return false;
  if (line.kind === "append") return [line, line.also].every((one) => !one || same(valueAt(record, `${one.path}.${one.to.id}`), one.to));
  if (line.kind === "set") return same(valueAt(record, line.path), line.to);
  return same({ ...record, updated_at: "" }, { ...line.to, updated_at: "" });
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

/** Many may write, but nobody while the records are moved.
 * @template T @param {() => Promise<T>} work @returns {Promise<T>} */
async function shared(work) {
  if (!navigator.locks) return work();
  return navigator.locks.request(WRITERS, { mode: "shared", signal: AbortSignal.timeout(LOCK_MS) }, work);
}

/** Nobody writes meanwhile. @template T @param {() => Promise<T>} work @returns {Promise<T>} */
export async function alone(work) {
  if (!navigator.locks) return work();
  return navigator.locks.request(WRITERS, { mode: "exclusive", signal: AbortSignal.timeout(LOCK_MS) }, work);
}
