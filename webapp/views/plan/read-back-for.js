/** Finding the read-back that is about the plan as it is now. */

/**
 * The newest plan read-back that is about this fingerprint, or null.
 * @param {Record<string, any> | null} record @param {string} fingerprint
 * @returns {{at: string} | null}
 */
export function readBackFor(record, fingerprint) {
  const entries = /** @type {any[]} */ (record?.readbacks ?? []);
  return entries.filter((entry) => entry.kind === "plan" && entry.values?.fingerprint === fingerprint).at(-1) ?? null;
}
