// The eyes with what is due for each: from the core when it answers, from the record until then.
import { ask } from "../../worker/client.js";
import { asStage, plainStage } from "../stages.js";
import { today } from "../today.js";
import { t } from "../../words/words.js";

/** @typedef {import("../../store/store.js").Case} Case */
/** @typedef {import("../router.js").Stage} Stage */
/** @typedef {{record: Case, stage: Stage, due: string, dueOn: string, why: string, lost: boolean}} Row */

/** @param {Case} record @returns {Row} */
export function plainRow(record) {
  return { record, stage: plainStage(record), due: "", dueOn: "", why: "", lost: false };
}

/** What was answered for a record as it is, today; a list of thousands asks only for what changed.
 * @type {Map<string, {of: string, row: Row}>} */
const known = new Map();

/** @param {Case} record @param {AbortSignal} signal @returns {Promise<Row>} */
export async function dueRow(record, signal) {
  const day = today();
  const of = `${record.updated_at} ${day}`;
  const kept = known.get(record.code);
  if (kept?.of === of) return { ...kept.row, record };
  try {
    const { value } = await ask("check_case", { case: record, today: day }, { signal, background: true });
    const row = { record, stage: asStage(value.stage), due: value.due ?? "", dueOn: value.due_on ?? "",
      why: (value.due_why ?? []).join("; "), lost: Boolean(value.lost) };
    known.set(record.code, { of, row });
    return row;
  } catch (reason) {
    if (signal.aborted) throw reason;
    return plainRow(record);
  }
}

/** The earliest due date first; without one, the latest change first. @param {Row[]} rows @returns {Row[]} */
export function byDue(rows) {
  const rank = (/** @type {Row} */ row) => row.dueOn || "9999";
  return [...rows].sort((a, b) => (rank(a) < rank(b) ? -1 : Number(rank(a) > rank(b))));
}

/** Headings in the order in which they need the surgeon. @type {{stage: Stage, lost: boolean, word: string}[]} */
export const GROUPS = [
  { stage: "theatre", lost: false, word: t.eyes.theatre },
  { stage: "follow-up", lost: false, word: t.eyes.followUp },
  { stage: "plan", lost: false, word: t.eyes.beingPlanned },
  { stage: "follow-up", lost: true, word: t.eyes.noLongerFollowed },
];
