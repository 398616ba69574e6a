// The empty record of one eye, schema 1. Every section is there, nothing is entered.
import { SCHEMA } from "./store.js";

/**
 * @param {{code: string, eye: "right" | "left", person: string | null}} given
 * @returns {import("./store.js").Case}
 */
export function newCase({ code, eye, person }) {
  const at = new Date().toISOString();
  return {
    schema: SCHEMA, code, person, demo: false, created_at: at, updated_at: at, eye,
    history: {}, measurements: {}, lens: {}, plan: {}, readbacks: [], surgery_on: null,
    readings: [], haptic_log: [], decisions: [], follow_ups: [],
  };
}
