// Two things outside the database: a second copy of the eye changed last, and how many eyes there
// should be. A browser that loses the database of a sound app is then noticed, not taken for a first start.

const CACHE = "second-copy";
const EYE = "last-eye.json";
const COUNT = "eye-count.json";
const COUNT_KEY = "guyline.eyes";
const RING_KEY = "guyline.keys";

/** @typedef {{eyes: number, at: string}} Count */

/** @param {string} name */
const address = (name) => new URL(`./second-copy/${name}`, document.baseURI).href;

/** @param {string} name @param {unknown} value */
async function write(name, value) {
  try {
    const cache = await caches.open(CACHE);
    if (value === null) await cache.delete(address(name));
    else await cache.put(address(name), new Response(JSON.stringify(value), { headers: { "content-type": "application/json" } }));
  } catch {
    // A second copy only: the first has been read back from the disk.
  }
}

/** @param {string} name @returns {Promise<any>} */
async function read(name) {
  try {
    return await (await (await caches.open(CACHE)).match(address(name)))?.json() ?? null;
  } catch {
    return null;
  }
}

/** @param {unknown} row */
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
