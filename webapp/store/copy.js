// Two things outside the database: a second copy of the eye changed last, and how many eyes there
// should be. A browser that loses the database of a sound app is then noticed, not taken for a first start.

const CACHE = "second-copy";
const EYE = "last-eye.json";
const COUNT = "eye-count.json";
const COUNT_KEY = "guyline.eyes";
const RING_KEY = "guyline.keys";
const WAIT_MS = 5_000;

/** @typedef {{eyes: number, at: string}} Count */

/** @param {string} name */
const address = (name) => new URL(`./second-copy/${name}`, document.baseURI).href;

/** A second copy only: the first has been read back from the disk, and nobody waits long for this one.
 * @param {string} name @param {unknown} value @returns {Promise<boolean>} whether it was done */
function write(name, value) {
  return inTime(written(name, value).then(() => true, () => false), false);
}

/** @param {string} name @param {unknown} value */
async function written(name, value) {
  const cache = await caches.open(CACHE);
  if (value === null) await cache.delete(address(name));
  else await cache.put(address(name), new Response(JSON.stringify(value), { headers: { "content-type": "application/json" } }));
}

/** @param {string} name @returns {Promise<any>} */
function read(name) {
  return inTime(found(name).catch(() => null), null);
}

/** @param {string} name @returns {Promise<any>} */
async function found(name) {
  return await (await (await caches.open(CACHE)).match(address(name)))?.json() ?? null;
}

/** @template T @param {Promise<T>} promise @param {T} otherwise @returns {Promise<T>} */
function inTime(promise, otherwise) {
  return Promise.race([promise, new Promise((resolve) => setTimeout(() => resolve(otherwise), WAIT_MS))]);
}

/** Null forgets it. @param {unknown} row */
export const keepCopy = (row) => write(EYE, row);

/** @returns {Promise<any>} */
export const readCopy = () => read(EYE);

/** @param {number} eyes */
export async function keepCount(eyes) {
  const count = { eyes, at: new Date().toISOString() };
  inLocal(COUNT_KEY, JSON.stringify(count));
  await write(COUNT, count);
}

/** The larger of both, so that losing one of them hides nothing. @returns {Promise<Count | null>} */
export async function readCount() {
  const both = [fromLocal(COUNT_KEY), await read(COUNT)].filter((one) => Number.isInteger(one?.eyes));
  return both.sort((one, other) => other.at.localeCompare(one.at))[0] ?? null;
}

/** @param {unknown} ring null forgets it */
export function keepRing(ring) {
  inLocal(RING_KEY, ring === null ? null : JSON.stringify(ring));
}

/** @returns {any} */
export const readRing = () => fromLocal(RING_KEY);

/** @param {string} key @param {string | null} text */
function inLocal(key, text) {
  try {
    if (text === null) localStorage.removeItem(key);
    else localStorage.setItem(key, text);
  } catch {
    // Kept in the other place.
  }
}

/** @param {string} key @returns {any} */
function fromLocal(key) {
  try {
    return JSON.parse(localStorage.getItem(key) ?? "null");
  } catch {
    return null;
  }
}
