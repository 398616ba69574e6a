// A file read by the core piece by piece. Nothing is stored here; what comes back are new records and
// the lines that became none.
import { ask } from "../../worker/client.js";
import { today } from "../today.js";

/** @typedef {import("../../store/store.js").Case} Case */
/** @typedef {{signal: AbortSignal, progress: (done: number, total: number) => void}} Watched */
/** @typedef {{name: string, suggested: string | null, sample: string[]}} Column */
/** @typedef {{name: string, label: string, unit: string, group: string, meaning: string, choices: Record<string, string>, kind: string}} Target */
/** @typedef {{kind: "table", shape: {encoding: string, separator: string, header: string[], skip: number}, decimal_mark: string,
 *   date_order: string | null, rows_about: number, columns: Column[], targets: Target[]}} Table */
/** @typedef {{columns: (string | null)[], fixed: Record<string, string>, decimal_mark: string, date_order: string | null}} Matching */
/** @typedef {{cases: Case[], rejected: {row: number, why: string}[]}} Read */

const HEAD_BYTES = 262_144;
const PIECE_BYTES = 16_384;
const PIECE_EYES = 50;
const LONG_MS = 180_000;

/** @param {Blob} blob */
async function base64(blob) {
  const bytes = new Uint8Array(await blob.arrayBuffer());
  let text = "";
  for (let start = 0; start < bytes.length; start += 32_768) text += String.fromCharCode(...bytes.subarray(start, start + 32_768));
  return btoa(text);
}

/** @param {File} file @param {AbortSignal} signal @returns {Promise<Table | {kind: "archive"}>} */
export async function look(file, signal) {
  const head_base64 = await base64(file.slice(0, HEAD_BYTES));
  const { value } = await ask("csv_look", { head_base64, whole: file.size <= HEAD_BYTES, size_bytes: file.size }, { signal, answer_ms: LONG_MS });
  return value;
}

/** What the eyes on this device are known again by. @param {Case[]} cases @param {AbortSignal} signal */
export async function knownPrints(cases, signal) {
  /** @type {string[]} */
  const known = [];
  for (let start = 0; start < cases.length; start += 200) {
    const { value } = await ask("fingerprints", { cases: cases.slice(start, start + 200) }, { signal, answer_ms: LONG_MS });
    known.push(...value.fingerprints.filter(Boolean));
  }
  return known;
}

/** @param {File} file @param {Table} table @param {Matching} matching @param {string[]} known @param {Watched} watched @returns {Promise<Read>} */
export async function readTable(file, table, matching, known, { signal, progress }) {
  const read = started();
  let left = "";
  for (let start = 0, row = 2; start < file.size;) {
    progress(start, file.size);
    const end = Math.min(start + PIECE_BYTES, file.size);
    const { value } = await ask("csv_rows", {
      bytes_base64: await base64(file.slice(start, end)), first: start === 0, last: end === file.size, rest: left,
      shape: table.shape, ...matching, ...common(read, known), first_row: row,
    }, { signal, answer_ms: LONG_MS });
    keep(read, value);
    left = value.rest;
    row += value.rows;
    start = end === file.size ? end : end - value.left_bytes;
  }
  return read;
}

/** @param {File} file @param {string[]} known @param {Watched} watched @returns {Promise<Read>} */
export async function readArchive(file, known, { signal, progress }) {
  const read = started();
  const { value: opened } = await ask("import_archive", { bytes_base64: await base64(file) }, { signal, answer_ms: LONG_MS });
  for (let start = 0; start < opened.parts.length; start += PIECE_EYES) {
    progress(start, opened.parts.length);
    const { value } = await ask("import_parts", {
      headers: opened.headers, decimal_mark: opened.decimal_mark, parts: opened.parts.slice(start, start + PIECE_EYES),
      ...common(read, known), first_row: start + 2,
    }, { signal, answer_ms: LONG_MS });
    keep(read, value);
  }
  return read;
}

/** @returns {Read & {persons: object, prints: object, now: string}} */
function started() {
  return { cases: [], rejected: [], persons: {}, prints: {}, now: new Date().toISOString() };
}

/** @param {ReturnType<typeof started>} read @param {string[]} known */
function common(read, known) {
  return { persons: read.persons, prints: read.prints, now: read.now, known, today: today() };
}

/** @param {ReturnType<typeof started>} read @param {any} value */
function keep(read, value) {
  read.cases.push(...value.cases);
  read.rejected.push(...value.rejected);
  Object.assign(read, { persons: value.persons, prints: value.prints });
}
