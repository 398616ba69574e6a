// The empty record of one eye, schema 1. Every section is there, nothing is entered but the unit of the cornea, if the surgeon set one.
import { SCHEMA } from "./store.js";

/**
 * @param {{code: string, eye: "right" | "left", person: string | null, k_unit?: "d" | "mm" | null}} given
 * @returns {import("./store.js").Case}
 */
export function newCase({ code, eye, person, k_unit = null }) {
  const at = new Date().toISOString();
  return {
    schema: SCHEMA, code, person, demo: false, created_at: at, updated_at: at, eye,
    history: {}, measurements: k_unit ? { k_unit } : {}, lens: {}, plan: {}, marks: [], readbacks: [], surgery_on: null,
    readings: [], haptic_log: [], decisions: [], follow_ups: [],
  };
}
