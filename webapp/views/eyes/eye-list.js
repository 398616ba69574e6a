// The eyes with what is due for each: from the core when it answers, from the record until then.
import { ask } from "../../worker/client.js";
import { asStage, plainStage } from "../stages.js";
import { today } from "../today.js";

/** @typedef {import("../../store/store.js").Case} Case */
/** @typedef {import("../router.js").Stage} Stage */
/** @typedef {{record: Case, stage: Stage, due: string, dueOn: string}} Row */

/** @param {Case} record @returns {Row} */
export function plainRow(record) {
  return { record, stage: plainStage(record), due: "", dueOn: "" };
}

/** @param {Case} record @param {AbortSignal} signal @returns {Promise<Row>} */
export async function dueRow(record, signal) {
  try {
    const { value } = await ask("check_case", { case: record, today: today() }, { signal });
    return { record, stage: asStage(value.stage), due: value.due ?? "", dueOn: value.due_on ?? "" };
  } catch (reason) {
    if (signal.aborted) throw reason;
    return plainRow(record);
  }
}

/** The earliest due date first; without one, the latest change first. @param {Row[]} rows @returns {Row[]} */
export function byDue(rows) {
  const rank = (/** @type {Row} */ row) => row.dueOn || "9999";
  return [...rows].sort((a, b) => rank(a).localeCompare(rank(b)));
}

/** Headings in the order in which they need the surgeon. @type {{stage: Stage, word: string}[]} */
export const GROUPS = [
  { stage: "theatre", word: "In theatre" },
  { stage: "follow-up", word: "Follow-up" },
  { stage: "plan", word: "Being planned" },
];
