// What can be taken back. Answers and numbers go back to what they were; a reading or a visit is
// withdrawn, never deleted; what was done to the eye, read aloud or decided stays in its log.
import { valueAt } from "./paths.js";
import { t } from "../words/words.js";

/**
 * @typedef {object} LogEntry
 * @property {number} seq order in the log
 * @property {string} id
 * @property {string} code case code
 * @property {"create" | "set" | "append" | "remove" | "restore" | "merge"} kind
 * @property {string} path
 * @property {any} from
 * @property {any} to
 * @property {{path: string, to: any}} [also] a second entry, appended with the first
 * @property {string} at instant
 * @property {string} build
 * @property {string | null} undoes id of the entry that this one takes back
 */

const WITHDRAWN = new Set(["readings", "follow_ups"]);
export const UNDO_REASON = t.store.undoneJustAfterWas;

/**
 * The change that undo would take back, or null.
 * @param {LogEntry[]} log of one eye, oldest first
 * @returns {LogEntry | null}
 */
export function lastUndoable(log) {
  const undone = new Set(log.map((entry) => entry.undoes));
  const last = log.filter((entry) => !entry.undoes).at(-1);
  if (!last || undone.has(last.id)) return null;
  return last.kind === "set" || (last.kind === "append" && WITHDRAWN.has(last.path)) ? last : null;
}

/**
 * Path and value that take a change back.
 * @param {LogEntry} entry
 * @param {string} at
 * @returns {{path: string, value: any}}
 */
export function reversal(entry, at) {
  if (entry.kind === "set") return { path: entry.path, value: entry.from };
  return { path: `${entry.path}.${entry.to.id}.withdrawn`, value: { at, reason: UNDO_REASON } };
}

/**
 * True when nothing has touched the value since.
 * @param {Record<string, any>} record
 * @param {LogEntry} entry
 */
export function stillThere(record, entry) {
  return entry.kind === "append" ? valueAt(record, `${entry.path}.${entry.to.id}`) !== null : true;
}
