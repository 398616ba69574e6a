// How safely this browser keeps the records, as far as it tells.

/**
 * @typedef {object} Keeping
 * @property {boolean | null} persisted null when the browser does not say
 * @property {number | null} used bytes
 * @property {number | null} room bytes
 */

/** Ask the browser to keep the records even when space runs low. @returns {Promise<boolean | null>} */
export async function askToPersist() {
  if (!navigator.storage?.persist) return null;
  try {
    return (await navigator.storage.persisted()) || (await navigator.storage.persist());
  } catch {
    return null;
  }
}

/** @returns {Promise<Keeping>} */
export async function keeping() {
  try {
    const persisted = (await navigator.storage?.persisted?.()) ?? null;
    const estimate = await navigator.storage?.estimate?.();
    return { persisted, used: estimate?.usage ?? null, room: estimate?.quota ?? null };
  } catch {
    return { persisted: null, used: null, room: null };
  }
}
