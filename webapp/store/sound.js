// Is a stored record whole enough to be shown? And the record anew from its log.
import { withEntries, withValue } from "./paths.js";
import { t } from "../words/words.js";

const SECTIONS = ["history", "measurements", "lens", "plan"];
const LISTS = ["readbacks", "readings", "haptic_log", "decisions", "follow_ups"];

/** What is wrong with the form of a record; empty when nothing is. @param {any} record @returns {string} */
export function faultOf(record) {
  if (!isObject(record)) return t.store.notRecordAll;
  if (typeof record.code !== "string" || !record.code) return t.store.itsCodeMissing;
  if (!Number.isInteger(record.schema) || record.schema < 1) return t.store.doesNotSayWhich;
  const section = SECTIONS.find((name) => record[name] != null && !isObject(record[name]));
  const list = LISTS.find((name) => record[name] != null && !Array.isArray(record[name]));
  return section || list ? t.store.itsPartCannotRead(section ?? list ?? "") : "";
}

/** @param {unknown} value */
const isObject = (value) => typeof value === "object" && value !== null && !Array.isArray(value);

/**
 * The record that a log amounts to, line after line; null when it does not begin with a whole record or ends removed.
 * @param {import("./undo.js").LogEntry[]} log of one eye, oldest first
 * @returns {any}
 */
export function replay(log) {
  return log.reduce((record, line) => STEPS[line.kind]?.(record, line) ?? null, /** @type {any} */ (null));
}

/** @type {Record<string, (record: any, line: import("./undo.js").LogEntry) => any>} */
const STEPS = {
  create: (_record, line) => line.to,
  restore: (_record, line) => line.to,
  merge: (_record, line) => line.to,
  remove: () => null,
  set: (record, line) => record && { ...withValue(record, line.path, line.to), updated_at: line.at },
  append: (record, line) => record && { ...withEntries(record, line), updated_at: line.at },
};

/** What a line of a log can be. */
export const KINDS = Object.keys(STEPS);
