// The surgeon's box of lenses: one document among the preferences, so that it is sealed, backed up
// and restored with everything else. A change is read back before it counts, and the last ones can
// be taken back.
import { StoreError } from "./errors.js";
import { same } from "./paths.js";
import { t } from "../words/words.js";

/** @typedef {import("./store.js").Store} Store */
/** One kind of lens with its pieces, as typed from the label. @typedef {Record<string, any> & {id: string, lens_power_d: number, lens_count: number}} Row */
/** A lens taken out for an eye. @typedef {{id: string, at: string, code: string, row: Row}} Used */
/** @typedef {{rows: Row[], used: Used[]}} Content */
/** @typedef {Content & {past: (Content & {words: string})[]}} Document */

const NAME = "box";
const MOST_PAST = 20;
/** @type {WeakMap<Store, Box>} */
const boxes = new WeakMap();

/** The one box of a store. @param {Store} store @returns {Box} */
export function boxOf(store) {
  const found = boxes.get(store) ?? new Box(store);
  boxes.set(store, found);
  return found;
}

/** Fires `change` when the box is another than before, in this window or elsewhere. */
export class Box extends EventTarget {
  #channel = "BroadcastChannel" in globalThis ? new BroadcastChannel("guyline-box") : null;

  /** @param {Store} store */
  constructor(store) {
    super();
    this.store = store;
    this.#channel?.addEventListener("message", () => this.dispatchEvent(new Event("change")));
  }

  /** @returns {Promise<Document>} */
  async read() {
    const found = (await this.store.preference(NAME)) ?? { rows: [], used: [], past: [] };
    if (["rows", "used", "past"].every((part) => Array.isArray(found[part]))) return found;
    throw new StoreError("damaged_box", t.store.boxDamaged);
  }

  /**
   * What would be taken back next, in words; empty when nothing.
   * @returns {Promise<string>}
   */
  async undoable() {
    return (await this.read()).past.at(-1)?.words ?? "";
  }

  /**
   * @param {string} words what was done, for the undo bar
   * @param {(content: Content) => Content} make
   */
  change(words, make) {
    return this.#alone(async () => {
      const { past, ...before } = await this.read();
      await this.#write({ ...make(before), past: [...past, { ...before, words }].slice(-MOST_PAST) }, { ...before, past });
    });
  }

  /** Puts the box back as it was before the last change. */
  undo() {
    return this.#alone(async () => {
      const before = await this.read();
      const last = before.past.at(-1);
      if (!last) return;
      await this.#write({ rows: last.rows, used: last.used, past: before.past.slice(0, -1) }, before);
    });
  }

  /**
   * Puts lenses in; rows alike but for their pieces become one.
   * @param {string} words @param {Omit<Row, "id">[]} lenses
   */
  putIn(words, lenses) {
    return this.change(words, ({ rows, used }) => ({ rows: lenses.reduce(merged, rows), used }));
  }

  /** One piece more or less of a row. @param {string} words @param {string} id @param {1 | -1} by */
  count(words, id, by) {
    return this.change(words, ({ rows, used }) => ({ rows: rows.map((row) => (row.id === id ? counted(row, by) : row)), used }));
  }

  /** Forgets a row. @param {string} words @param {string} id */
  remove(words, id) {
    return this.change(words, ({ rows, used }) => ({ rows: rows.filter((row) => row.id !== id), used }));
  }

  /** One piece goes into an eye. @param {string} words @param {string} id @param {string} code */
  use(words, id, code) {
    return this.change(words, ({ rows, used }) => {
      const row = rows.find((one) => one.id === id);
      if (!row || row.lens_count < 1) throw new Error(t.store.noneLensLeftBox);
      const entry = { id: crypto.randomUUID(), at: new Date().toISOString(), code, row: counted(row, -1) };
      return { rows: rows.map((one) => (one.id === id ? entry.row : one)), used: [...used, entry] };
    });
  }

  /** The piece taken for an eye comes back. @param {string} words @param {string} entryId */
  putBack(words, entryId) {
    return this.change(words, ({ rows, used }) => {
      const entry = used.find((one) => one.id === entryId);
      if (!entry) throw new Error(t.store.lensBackBoxAlready);
      const there = rows.some((row) => row.id === entry.row.id);
      const back = there ? rows.map((row) => (row.id === entry.row.id ? counted(row, 1) : row))
        : [...rows, { ...entry.row, lens_count: 1 }];
      return { rows: back, used: used.filter((one) => one.id !== entryId) };
    });
  }

  /** One change at a time, in every window. @param {() => Promise<void>} work @returns {Promise<void>} */
  async #alone(work) {
    await (navigator.locks ? navigator.locks.request("guyline-box", work) : work());
  }

  /** What was written wrongly is put back as it was. @param {Document} content @param {Document} before */
  async #write(content, before) {
    await this.store.preference(NAME, content);
    if (!same(await this.store.preference(NAME), content)) {
      await this.store.preference(NAME, before);
      throw new Error(t.store.boxDiffersWhenRead);
    }
    this.#channel?.postMessage(null);
    this.dispatchEvent(new Event("change"));
  }
}

/** @param {Row} row @param {1 | -1} by @returns {Row} */
function counted(row, by) {
  return { ...row, lens_count: Math.max(0, row.lens_count + by) };
}

/** @param {Row[]} rows @param {Omit<Row, "id">} lens @returns {Row[]} */
function merged(rows, lens) {
  const alike = rows.find((row) => same({ ...row, id: "", lens_count: 0 }, { ...lens, id: "", lens_count: 0 }));
  if (!alike) return [...rows, /** @type {Row} */ ({ ...lens, id: crypto.randomUUID() })];
  return rows.map((row) => (row === alike ? { ...row, lens_count: row.lens_count + lens.lens_count } : row));
}
