// The form of what is inside a backup file. Its hash proves that nobody damaged it by accident, and nothing
// else: every row is looked at before anything reads it.
import { StoreError } from "./errors.js";
import { KINDS } from "./sound.js";
import { NAMES } from "./stores.js";
import { t } from "../words/words.js";

/** Kept from older files that lack them. */
const MAY_LACK = ["drafts", "preferences"];

/** @param {unknown} value @returns {value is Record<string, any>} */
const isObject = (value) => typeof value === "object" && value !== null && !Array.isArray(value);

/** Lists of objects for every store; an eye or a line of the log that is none stays, marked as damaged.
 * @param {unknown} found @returns {Record<string, any[]>} */
export function formed(found) {
  if (!isObject(found)) throw notOne();
  return Object.fromEntries(NAMES.map((name) => [name, rowsOf(found[name] ?? (MAY_LACK.includes(name) ? [] : null), SOUND[name])]));
}

const notOne = () => new StoreError("damaged_backup", t.store.backupNotInForm);

/** @param {unknown} list @param {(row: Record<string, any>) => boolean} sound @returns {any[]} */
function rowsOf(list, sound) {
  if (!Array.isArray(list)) throw notOne();
  return list.map((row) => (isObject(row) && sound(row) ? row : { ...(isObject(row) ? row : {}), code: codeOf(row), damaged: t.store.notRecordAll }));
}

/** @param {any} row */
const codeOf = (row) => (typeof row?.code === "string" && row.code ? row.code : "?");

/** @param {unknown} value */
const isText = (value) => typeof value === "string" && value !== "";

/** @param {any} entry of a list, with the list it belongs to */
const isEntry = (entry) => isObject(entry) && isText(entry.path) && isObject(entry.to) && isText(entry.to.id);

/** @type {Record<string, (row: Record<string, any>) => boolean>} */
const SOUND = {
  eyes: ({ code }) => isText(code),
  log: (line) => isText(line.id) && isText(line.code) && isText(line.at) && typeof line.path === "string" && KINDS.includes(line.kind)
    && (line.kind !== "append" || (isEntry(line) && (line.also == null || isEntry(line.also)))),
  drafts: ({ code, path }) => isText(code) && isText(path),
  preferences: ({ name }) => isText(name),
};
