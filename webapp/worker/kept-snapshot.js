// The memory snapshot as it is kept: beside this build's files, with all that proves it.
// It lives and goes with the build's own cache and is in no list of files, so "ready without
// network" neither waits for it nor misses it.

const KIND = "x-guyline-snapshot";
const HASH = "x-guyline-sha256";
const CORE = "x-guyline-core";
const BUILD = "x-guyline-build";
const REFUSED = "x-guyline-refused";
const FORM = "1";
/** Python's memory at its start. A snapshot of a larger memory cannot be restored. */
export const MOST_HEAP = 31_457_280;
/** The list of kept objects in front of the memory is far smaller than this. */
const MOST_HEADER = 65_536;

/** @param {string} build */
const cacheName = (build) => `guyline-${build}`;

/** @param {string} build */
const address = (build) => new URL(`../snapshot-${build}`, import.meta.url).href;

/** @param {BufferSource} bytes @returns {Promise<string>} */
export async function sha256(bytes) {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** The build's own cache; null where the app is not kept on this device.
 * @param {string | null} build @returns {Promise<Cache | null>} */
async function cacheOf(build) {
  if (!build || !("caches" in globalThis) || !await caches.has(cacheName(build))) return null;
  return caches.open(cacheName(build));
}

/** What is kept: a snapshot, a note that none can be made, or nothing.
 * @param {string | null} build @returns {Promise<"kept" | "refused" | "none" | "impossible">} */
export async function kept(build) {
  const cache = await cacheOf(build);
  if (!cache || !build) return "impossible";
  const answer = await cache.match(address(build));
  if (!answer || answer.headers.get(KIND) !== FORM) return "none";
  return answer.headers.has(REFUSED) ? "refused" : "kept";
}

/** The snapshot, proved; null when there is none, an error when there is one that must not be used.
 * @param {string | null} build @param {() => Promise<Uint8Array<ArrayBuffer>>} core @returns {Promise<Uint8Array<ArrayBuffer> | null>} */
export async function proved(build, core) {
  const cache = await cacheOf(build);
  const answer = cache && build ? await cache.match(address(build)) : undefined;
  if (!answer || answer.headers.has(REFUSED)) return null;
  if (answer.headers.get(KIND) !== FORM) throw new Error("The snapshot has another form.");
  if (answer.headers.get(BUILD) !== build) throw new Error("The snapshot is of another build.");
  const bytes = new Uint8Array(await answer.arrayBuffer());
  refuseSize(bytes.length);
  const [own, wheel] = await Promise.all([sha256(bytes), core().then(sha256)]);
  if (own !== answer.headers.get(HASH)) throw new Error("The snapshot is damaged.");
  if (wheel !== answer.headers.get(CORE)) throw new Error("The snapshot was taken with another core.");
  return bytes;
}

/** @param {number} size */
export function refuseSize(size) {
  if (size <= MOST_HEAP || size > MOST_HEAP + MOST_HEADER) throw new Error(`The snapshot has a wrong size (${size}).`);
}

/** @param {string} build @param {Uint8Array<ArrayBuffer>} bytes @param {Uint8Array<ArrayBuffer>} core */
export async function keep(build, bytes, core) {
  refuseSize(bytes.length);
  const headers = {
    "content-type": "application/octet-stream", [KIND]: FORM, [BUILD]: build,
    [HASH]: await sha256(bytes), [CORE]: await sha256(core),
  };
  await (await cacheOf(build))?.put(address(build), new Response(bytes, { headers }));
}

/** So that a device that cannot do it does not try at every start.
 * @param {string} build @param {string} why */
export async function refuse(build, why) {
  const headers = { [KIND]: FORM, [BUILD]: build, [REFUSED]: encodeURIComponent(why) };
  await (await cacheOf(build))?.put(address(build), new Response("", { headers }));
}

/** @param {string | null} build */
export async function forget(build) {
  if (build) await (await cacheOf(build))?.delete(address(build));
}
