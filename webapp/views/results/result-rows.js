// One row of numbers for each eye, read by the core in portions and kept while the app is open: an eye
// is read again only when it changed.
import { ask } from "../../worker/client.js";

/** @typedef {import("../../store/store.js").Case} Case */
/** @typedef {Record<string, any> & {code: string, demo: boolean, state: string}} Row */

const PORTION = 100;

/** @type {Map<string, {stamp: string, row: Row}>} */
const kept = new Map();

/**
 * @param {Case[]} records @param {AbortSignal} signal
 * @param {(done: number, all: number) => void} told
 * @returns {Promise<Row[]>}
 */
export async function rowsOf(records, signal, told) {
  const fresh = records.filter((record) => kept.get(record.code)?.stamp !== stampOf(record));
  for (let start = 0; start < fresh.length; start += PORTION) {
    told(start, fresh.length);
    const portion = fresh.slice(start, start + PORTION);
    const cases = portion.map((record) => ({ ...record, readbacks: [] }));
    const { value } = await ask("result_rows", { cases }, { signal });
    portion.forEach((record, index) => kept.set(record.code, { stamp: stampOf(record), row: value.rows[index] }));
  }
  return records.map((record) => /** @type {{row: Row}} */ (kept.get(record.code)).row);
}

/** @param {Case} record */
function stampOf(record) {
  return String(record.updated_at);
}
