// Two phones' records into one, by their logs. What only one of them changed is taken; what both changed
// differently is a conflict, and the surgeon chooses. Entries of lists are kept from both. Nothing here
// decides between two values, and no eye ever takes a value from another eye.
import { same } from "./paths.js";
import { faultOf, replay } from "./sound.js";
import { t } from "../words/words.js";
import { side } from "../words/side.js";

/** @typedef {import("./store.js").Case} Case */
/** @typedef {import("./store.js").LogEntry} LogEntry */
/** @typedef {{path: string, here: any, file: any}} Conflict */
/** @typedef {{code: string, what: "new" | "newer" | "both" | "removed", record: Case | null, lines: LogEntry[],
 *   conflicts: Conflict[], eye: string | null}} EyePlan */
/** @typedef {{eyes: EyePlan[], same: number, refused: {code: string, why: string}[], preferences: {name: string, here: any, file: any}[]}} Plan */
/** @typedef {{record: Case | null, log: LogEntry[]}} Side */

/**
 * @param {Record<string, any[]>} here everything on this phone
 * @param {Record<string, any[]>} file everything in the file
 * @returns {Plan}
 */
export function mergePlan(here, file) {
  /** @type {Plan} */
  const plan = { eyes: [], same: 0, refused: [], preferences: differing(here.preferences, file.preferences) };
  const codes = new Set([...file.eyes, ...file.log].map((row) => row.code));
  for (const code of codes) add(plan, String(code), sideOf(here, code), sideOf(file, code));
  return plan;
}

/** @param {Plan} plan @param {string} code @param {Side} here @param {Side} file */
function add(plan, code, here, file) {
  const why = refusal(here, file);
  const made = why ? null : eyePlan(code, here, file);
  if (why) plan.refused.push({ code, why });
  else if (made) plan.eyes.push(made);
  else plan.same += 1;
}

/** @param {Record<string, any[]>} rows @param {string} code @returns {Side} */
function sideOf(rows, code) {
  const record = rows.eyes.find((row) => row.code === code) ?? null;
  return { record, log: rows.log.filter((line) => line.code === code && !line.damaged) };
}

/** Why nothing of this eye may be taken, or nothing. @param {Side} here @param {Side} file */
function refusal(here, file) {
  if (file.record && (file.record.damaged || faultOf(file.record))) return t.store.damagedFile;
  if (!here.record || !file.record) return "";
  if (here.record.eye && file.record.eye && here.record.eye !== file.record.eye) {
    return t.store.eyeHereEyeFile(side(here.record.eye), side(file.record.eye));
  }
  const shares = here.log.some((line) => file.log.some((other) => other.id === line.id));
  return !shares && !same(bare(here.record), bare(file.record)) ? t.store.anotherEyeSameCode : "";
}

/** @param {string} code @param {Side} here @param {Side} file @returns {EyePlan | null} null when the file holds nothing new */
function eyePlan(code, here, file) {
  const known = new Set(here.log.map((line) => line.id));
  const inFile = new Set(file.log.map((line) => line.id));
  const lines = file.log.filter((line) => !known.has(line.id));
  const plan = { code, lines, conflicts: [], eye: file.record?.eye ?? here.record?.eye ?? null };
  if (!here.log.length && !here.record) return file.record && { ...plan, what: "new", record: file.record };
  if (!lines.length) return brokenHere(here) && file.record ? { ...plan, what: "newer", record: file.record } : null;
  const ahead = here.log.some((line) => !inFile.has(line.id));
  if (!here.record || !file.record) return oneRemoved(plan, here, file);
  if (!ahead || brokenHere(here)) return { ...plan, what: "newer", record: file.record };
  return { ...plan, what: "both", ...joined(here, file, inFile) };
}

/** @param {Side} here */
const brokenHere = ({ record }) => record !== null && faultOf(record) !== "";

/** Removed on one phone and changed on the other: asked, never decided.
 * @param {{code: string, lines: LogEntry[], eye: string | null}} plan @param {Side} here @param {Side} file @returns {EyePlan | null} */
function oneRemoved(plan, here, file) {
  if (!here.record && !file.record) return null;
  const conflict = { path: "", here: here.record, file: file.record };
  return { ...plan, what: "removed", record: here.record, conflicts: [conflict] };
}

/** @param {Side} here @param {Side} file @param {Set<string>} inFile @returns {{record: Case, conflicts: Conflict[]}} */
function joined(here, file, inFile) {
  const base = replay(here.log.filter((line) => inFile.has(line.id))) ?? {};
  /** @type {Conflict[]} */
  const conflicts = [];
  const record = three(base, here.record, file.record, "", conflicts);
  return { record, conflicts };
}

/** Three-way: a value changed on one side only is taken from there.
 * @param {any} base @param {any} here @param {any} file @param {string} path @param {Conflict[]} conflicts @returns {any} */
function three(base, here, file, path, conflicts) {
  if (same(here, file) || same(base, file) || path === "updated_at") return here;
  if (same(base, here)) return file;
  if (isList(here) && isList(file)) return lists(base, here, file, path, conflicts);
  if (isGroup(here) && isGroup(file)) return groups(base, here, file, path, conflicts);
  conflicts.push({ path, here: here ?? null, file: file ?? null });
  return here;
}

/** @param {any} base @param {any} here @param {any} file @param {string} path @param {Conflict[]} conflicts */
function groups(base, here, file, path, conflicts) {
  const keys = new Set([...Object.keys(here), ...Object.keys(file)]);
  const below = (/** @type {string} */ key) => (path ? `${path}.${key}` : key);
  return Object.fromEntries([...keys].map((key) => [key, three(base?.[key], here[key], file[key], below(key), conflicts)]));
}

/** Entries of both, each once, in the order in which they were made. @param {any} base @param {any[]} here @param {any[]} file
 * @param {string} path @param {Conflict[]} conflicts */
function lists(base, here, file, path, conflicts) {
  const find = (/** @type {any} */ list, /** @type {string} */ id) => (isList(list) ? list.find((/** @type {any} */ one) => one?.id === id) : undefined);
  if (![...here, ...file].every((one) => one?.id)) {
    conflicts.push({ path, here, file });
    return here;
  }
  const ids = [...new Set([...here, ...file].map((one) => one.id))];
  const both = ids.map((id) => {
    const [one, other] = [find(here, id), find(file, id)];
    return one && other ? three(find(base, id), one, other, `${path}.${id}`, conflicts) : one ?? other;
  });
  return both.sort((one, other) => String(one.at ?? "").localeCompare(String(other.at ?? "")));
}

/** @param {unknown} value */
const isList = (value) => Array.isArray(value);

/** @param {any} value */
const isGroup = (value) => typeof value === "object" && value !== null && !isList(value);

/** @param {Case} record */
const bare = (record) => ({ ...record, updated_at: "" });

/** What Setup holds differently. @param {any[]} here @param {any[]} file */
function differing(here, file) {
  const own = new Map(here.map((row) => [row.name, row.value]));
  return file.filter((row) => !row.damaged && !same(own.get(row.name) ?? null, row.value))
    .map((row) => ({ name: row.name, here: own.get(row.name) ?? null, file: row.value }));
}
