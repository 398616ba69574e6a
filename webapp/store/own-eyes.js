// What this phone's finished eyes have taught, learned once and kept until one of them changes.
import { CORE_VERSION } from "../contract.js";
import { ask } from "../worker/client.js";

/** @typedef {import("./store.js").Store} Store */
/** @typedef {import("./store.js").Case} Case */

/** The date after which eyes teach, chosen by the surgeon; null for all of them. */
export const LEARN_AFTER = "learn_after";
export const DEFAULT_FORMULA = "holladay1";

/**
 * Eyes that may teach: finished, real, not left out by hand. Which of them count, the core decides.
 * @param {Case[]} records @param {string} [without] the eye at hand never teaches itself
 */
export function teaching(records, without) {
  return records.filter((record) => !record.demo && !record.not_learned && record.code !== without && record.follow_ups?.length);
}

/**
 * The surgeon as learned for a base formula, or null when no eye can teach.
 * @param {Store} store
 * @param {{formula: string, without?: string, asOf?: string | null}} wanted `asOf`: what was known on that date
 * @returns {Promise<any>}
 */
export async function learnedSurgeon(store, { formula, without, asOf = null }) {
  const after = await store.preference(LEARN_AFTER);
  const cases = teaching(await store.list(), without);
  if (cases.length === 0) return null;
  const mark = await markOf([formula, after, asOf, CORE_VERSION, ...cases.map((one) => `${one.code} ${one.updated_at}`).sort()]);
  const name = `learned ${formula}${asOf ? " then" : ""}`;
  const kept = await store.preference(name);
  if (kept?.mark === mark) return kept.surgeon;
  const { value } = await ask("learn", { cases, formula, after, as_of: asOf });
  await store.preference(name, { mark, surgeon: value.surgeon });
  return value.surgeon;
}

/** A fingerprint of the eyes and of how they are read; codes are not kept in it. @param {unknown[]} parts */
async function markOf(parts) {
  const bytes = new TextEncoder().encode(JSON.stringify(parts));
  const hash = await crypto.subtle.digest("SHA-256", bytes);
  return [...new Uint8Array(hash)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}
