// Keeps the whole app on the device. Hand-written and small: a fixed list of files, one cache
// per build, every file checked by its hash, and no file ever mixed with another build's.
// The build fills in the three constants; another list of files makes another worker.
const BUILD = "source";
const LIST_SHA256 = "";
const POLICY = "";

const PREFIX = "guyline-";
const CACHE = PREFIX + BUILD;
const HASH_HEADER = "x-guyline-sha256";
const PARALLEL = 4;
const scope = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));

/** @typedef {[path: string, sha256: string, bytes: number]} Row */

/** @param {string} path */
const addressOf = (path) => new URL(path, scope.registration.scope).href;

/** @param {ArrayBuffer} bytes @returns {Promise<string>} */
async function sha256(bytes) {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** @param {object} message */
async function tellPages(message) {
  const pages = await scope.clients.matchAll({ type: "window", includeUncontrolled: true });
  for (const page of pages) page.postMessage({ ...message, build: BUILD });
}

// ---- fetching with proof -----------------------------------------------------------------

/** What each kind of file must be served as; anything else is a portal or a wrong server.
 * @type {Record<string, string>} */
const TYPES = {
  html: "text/html", js: "javascript", mjs: "javascript", css: "text/css", json: "json",
  webmanifest: "json", wasm: "application/wasm", svg: "image/svg+xml", png: "image/png",
};

/** @param {string} path @param {string} expected @returns {Promise<Response>} */
async function fetchVerified(path, expected) {
  const answer = await fetch(addressOf(path), { cache: "reload", credentials: "same-origin" });
  if (!answer.ok || answer.redirected) throw new Error(`${path}: the server answered ${answer.status}`);
  const type = answer.headers.get("content-type") ?? "";
  const wanted = TYPES[path.split(".").pop() ?? ""];
  if (wanted && !type.includes(wanted)) throw new Error(`${path}: served as ${type || "nothing"}`);
  const bytes = await answer.arrayBuffer();
  if (await sha256(bytes) !== expected) throw new Error(`${path}: the bytes are not this build's`);
  return stored(bytes, type, expected);
}

/** The answer as it is kept: with its hash, and with the policy, which workers take from here.
 * @param {ArrayBuffer} bytes @param {string} type @param {string} hash */
function stored(bytes, type, hash) {
  return new Response(bytes, {
    headers: {
      "content-type": type, "content-length": String(bytes.byteLength), [HASH_HEADER]: hash,
      "content-security-policy": POLICY, "x-content-type-options": "nosniff",
    },
  });
}

/** @param {Response | undefined} answer @param {string} expected */
async function isWhole(answer, expected) {
  return answer !== undefined && await sha256(await answer.clone().arrayBuffer()) === expected;
}

/** @returns {Promise<Row[]>} */
async function freshList() {
  const answer = await fetchVerified("precache.json", LIST_SHA256);
  await (await caches.open(CACHE)).put(addressOf("precache.json"), answer.clone());
  return answer.json();
}

/** @returns {Promise<Row[]>} */
async function keptList() {
  const answer = await (await caches.open(CACHE)).match(addressOf("precache.json"));
  if (!answer || !await isWhole(answer, LIST_SHA256)) return freshList();
  return answer.json();
}

/** A file with the same bytes in any cache of ours: an update fetches only what changed.
 * @param {Row} row @returns {Promise<Response | undefined>} */
async function alreadyHere([path, hash]) {
  for (const name of await caches.keys()) {
    if (!name.startsWith(PREFIX)) continue;
    const answer = await (await caches.open(name)).match(addressOf(path));
    if (answer?.headers.get(HASH_HEADER) !== hash || !await isWhole(answer, hash)) continue;
    return stored(await answer.arrayBuffer(), answer.headers.get("content-type") ?? "", hash);
  }
  return undefined;
}

/** @param {Row[]} rows @param {(row: Row) => Promise<void>} action */
async function inParallel(rows, action) {
  const queue = [...rows];
  const work = async () => { for (let row = queue.shift(); row; row = queue.shift()) await action(row); };
  await Promise.all(Array.from({ length: PARALLEL }, work));
}

/** @param {Row[]} rows */
async function bring(rows) {
  const cache = await caches.open(CACHE);
  const total = rows.reduce((sum, row) => sum + row[2], 0);
  let done = 0;
  await tellPages({ type: "downloading", done, total });
  await inParallel(rows, async (row) => {
    const answer = await alreadyHere(row) ?? await fetchVerified(row[0], row[1]);
    await cache.put(addressOf(row[0]), answer);
    done += row[2];
    await tellPages({ type: "downloading", done, total });
  });
}

// ---- life cycle --------------------------------------------------------------------------

async function install() {
  try {
    await bring(await freshList());
  } catch (reason) {
    await tellPages({ type: "failed", why: String(/** @type {Error} */ (reason).message) });
    throw reason;
  }
}

/** Old caches go only when every open page belongs to this build. While a newer build is being
 * fetched or waits, its cache is there too, and nothing goes. */
async function tidy() {
  if (scope.registration.installing || scope.registration.waiting) return;
  const pages = await scope.clients.matchAll({ type: "window", includeUncontrolled: true });
  const builds = await Promise.all(pages.map(buildOf));
  if (builds.some((build) => build !== BUILD)) return;
  for (const name of await caches.keys()) {
    if (name.startsWith(PREFIX) && name !== CACHE) await caches.delete(name);
  }
}

/** @param {Client} page @returns {Promise<string | undefined>} */
function buildOf(page) {
  return new Promise((resolve) => {
    const channel = new MessageChannel();
    channel.port1.onmessage = (event) => resolve(event.data);
    setTimeout(() => resolve(undefined), 3000);
    page.postMessage({ type: "which-build" }, [channel.port2]);
  });
}

scope.addEventListener("install", (event) => event.waitUntil(install()));
scope.addEventListener("activate", (event) => {
  event.waitUntil(scope.clients.claim());
});

// ---- answering ---------------------------------------------------------------------------

/** @param {Request} request */
async function respond(request) {
  const address = new URL(request.url);
  const path = request.mode === "navigate" ? addressOf("index.html") : address.origin + address.pathname;
  const answer = await (await caches.open(CACHE)).match(path);
  return answer ?? new Response("This file is not part of the app.", { status: 404, headers: { "content-type": "text/plain" } });
}

scope.addEventListener("fetch", (event) => {
  const { request } = event;
  if (request.method !== "GET" || !request.url.startsWith(scope.registration.scope)) return;
  event.respondWith(respond(request));
});

// ---- requests of the page ----------------------------------------------------------------

/** @returns {Promise<Row[]>} the files that are missing or damaged */
async function badFiles() {
  const cache = await caches.open(CACHE);
  /** @type {Row[]} */
  const bad = [];
  await inParallel(await keptList(), async (row) => {
    if (!await isWhole(await cache.match(addressOf(row[0])), row[1])) bad.push(row);
  });
  return bad;
}

/** @type {Record<string, () => Promise<unknown>>} */
const REQUESTS = {
  check: async () => ({ bad: (await badFiles()).map((row) => row[0]) }),
  repair: async () => {
    await bring(await badFiles());
    return { bad: (await badFiles()).map((row) => row[0]) };
  },
  activate: () => scope.skipWaiting(),
  hello: tidy,
};

scope.addEventListener("message", (event) => {
  const action = REQUESTS[event.data?.type];
  const port = event.ports[0];
  if (!action) return;
  event.waitUntil(action().then(
    (value) => port?.postMessage({ value: value ?? null, build: BUILD }),
    (reason) => port?.postMessage({ why: String(reason.message ?? reason), build: BUILD }),
  ));
});
