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
/** Room that is left to the records when files are taken. */
const SPARE_BYTES = 20_000_000;
const ANSWER_MS = 10_000;
const scope = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));

/** @typedef {[path: string, sha256: string, bytes: number]} Row */

/** @param {string} path */
const addressOf = (path) => new URL(path, scope.registration.scope).href;

/** @param {ArrayBuffer} bytes @returns {Promise<string>} */
async function sha256(bytes) {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

const windows = () => scope.clients.matchAll({ type: "window", includeUncontrolled: true });

/** @param {object} message */
async function tellPages(message) {
  const build = await served();
  for (const page of await windows()) page.postMessage({ ...message, build });
}

// ---- which build is served ---------------------------------------------------------------

/** Kept beside a build's files and in no list. `proved`: its page came to life, its files are whole and
 * its calculations run. Until then the one proved before it, `previous`, is kept; `starts` counts openings
 * of a page that did not come to life; with a `why` the previous one is served.
 * @typedef {{proved: boolean, previous: string | null, starts: number, why: string | null}} Standing */
const STANDING = "standing";
/** @type {Standing} */
const NEW = { proved: false, previous: null, starts: 0, why: null };
const MOST_STARTS = 3;

/** @param {string} name @returns {Promise<Standing>} */
async function standingIn(name) {
  const answer = await caches.has(name) ? await (await caches.open(name)).match(addressOf(STANDING)) : undefined;
  return answer ? answer.json() : NEW;
}

/** @type {Promise<Standing> | undefined} */
let known;
const standing = () => (known ??= standingIn(CACHE));

/** @param {Partial<Standing>} change */
async function stand(change) {
  const now = { ...await standing(), ...change };
  known = Promise.resolve(now);
  await (await caches.open(CACHE)).put(addressOf(STANDING), new Response(JSON.stringify(now), { headers: { "content-type": "application/json" } }));
}

/** The build whose files are given out. */
async function served() {
  const { why, previous } = await standing();
  return why && previous ? previous : BUILD;
}

const servedCache = async () => caches.open(PREFIX + await served());

/** The newest other build on this device that has proved itself. @returns {Promise<string | null>} */
async function lastProved() {
  const others = (await caches.keys()).filter((name) => name.startsWith(PREFIX) && name !== CACHE).reverse();
  for (const name of others) if ((await standingIn(name)).proved) return name.slice(PREFIX.length);
  return null;
}

/** A page of a build not proved yet is opened; after three that never came to life it is left. */
async function countStart() {
  const { proved, previous, starts, why } = await standing();
  if (proved || !previous || why) return;
  await stand(starts < MOST_STARTS ? { starts: starts + 1 } : { why: "its page did not open three times in a row." });
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
  const own = await served() === BUILD;
  const answer = await (await servedCache()).match(addressOf("precache.json"));
  const wanted = own ? LIST_SHA256 : answer?.headers.get(HASH_HEADER) ?? "";
  if (answer && await isWhole(answer, wanted)) return answer.json();
  if (own) return freshList();
  throw new Error("the list of this version's files is damaged.");
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

/** All come to their end before a failure is told, so that no news follows it. @param {Row[]} rows @param {(row: Row) => Promise<void>} action */
async function inParallel(rows, action) {
  const queue = [...rows];
  const work = async () => { for (let row = queue.shift(); row; row = queue.shift()) await action(row); };
  const ends = await Promise.allSettled(Array.from({ length: PARALLEL }, work));
  for (const end of ends) if (end.status === "rejected") throw end.reason;
}

/** @param {number} bytes */
async function refuseWithoutRoom(bytes) {
  const { quota, usage = 0 } = await navigator.storage?.estimate?.() ?? {};
  const lacking = bytes + SPARE_BYTES - ((quota ?? Infinity) - usage);
  if (lacking > 0) throw new Error(`the device is full: ${Math.ceil(lacking / 1e6)} MB more must be free.`);
}

/** @param {Row[]} rows @param {Cache} cache */
async function bring(rows, cache) {
  const total = rows.reduce((sum, row) => sum + row[2], 0);
  await refuseWithoutRoom(total);
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

/** What was fetched before a failure is kept and not fetched again, but never at the records' expense. */
async function install() {
  try {
    await bring(await freshList(), await caches.open(CACHE));
  } catch (reason) {
    if (/** @type {Error} */ (reason).name === "QuotaExceededError") await caches.delete(CACHE);
    await tellPages({ type: "failed", why: String(/** @type {Error} */ (reason).message) });
    throw reason;
  }
}

async function activate() {
  const previous = (await standing()).proved ? null : await lastProved();
  if (previous) await stand({ ...NEW, previous });
  await scope.clients.claim();
}

/** Old caches go only when this build has proved itself and every open page belongs to it. While a
 * newer build is being fetched or waits, its cache is there too, and nothing goes. */
async function tidy() {
  if (scope.registration.installing || scope.registration.waiting) return;
  const builds = await Promise.all((await windows()).map((page) => asked(page, "which-build")));
  if (builds.some((build) => build !== BUILD)) return;
  for (const name of await caches.keys()) {
    if (name.startsWith(PREFIX) && name !== CACHE) await caches.delete(name);
  }
}

/** What a page answers; undefined when it does not. @param {Client} page @param {string} type @returns {Promise<string | undefined>} */
function asked(page, type) {
  return new Promise((resolve) => {
    const channel = new MessageChannel();
    channel.port1.onmessage = (event) => resolve(event.data);
    setTimeout(() => resolve(undefined), ANSWER_MS);
    page.postMessage({ type }, [channel.port2]);
  });
}

scope.addEventListener("install", (event) => event.waitUntil(install()));
scope.addEventListener("activate", (event) => event.waitUntil(activate()));

// ---- answering ---------------------------------------------------------------------------

/** @param {Request} request */
async function respond(request) {
  const address = new URL(request.url);
  const opening = request.mode === "navigate";
  if (opening) await countStart();
  const answer = await (await servedCache()).match(opening ? addressOf("index.html") : address.origin + address.pathname);
  return answer ?? new Response("This file is not part of the app.", { status: 404, headers: { "content-type": "text/plain" } });
}

scope.addEventListener("fetch", (event) => {
  const { request } = event;
  if (request.method !== "GET" || !request.url.startsWith(scope.registration.scope)) return;
  event.respondWith(respond(request));
});

// ---- requests of the page ----------------------------------------------------------------

/** The files that are missing or damaged. @param {Row[]} list @param {Cache} cache @returns {Promise<Row[]>} */
async function badFiles(list, cache) {
  /** @type {Row[]} */
  const bad = [];
  await inParallel(list, async (row) => {
    if (!await isWhole(await cache.match(addressOf(row[0])), row[1])) bad.push(row);
  });
  return bad;
}

async function check() {
  return { bad: (await badFiles(await keptList(), await servedCache())).map((row) => row[0]) };
}

async function repair() {
  const cache = await servedCache();
  await bring(await badFiles(await keptList(), cache), cache);
  return check();
}

/** Asked of a version that waits: it starts only when its files are whole here and every window is at rest.
 * @returns {Promise<{refused: string | null}>} */
async function start() {
  const { bad } = await check();
  if (bad.length) await repair();
  for (const page of await windows()) {
    const busy = await asked(page, "may-update") ?? "A window of this app does not answer. Close all other windows of it, then try again.";
    if (busy) return { refused: busy };
  }
  await scope.skipWaiting();
  return { refused: null };
}

/** What changes in numbers up to this version. @returns {Promise<unknown>} */
async function numbers() {
  const answer = await (await caches.open(CACHE)).match(addressOf("numbers.json"));
  return answer ? answer.json() : [];
}

/** The page has its records on the screen, its files are whole and its calculations run. */
async function proved() {
  if (await served() !== BUILD) return;
  await stand({ proved: true, previous: null, starts: 0 });
  await tidy();
}

/** Another build's files are given out from now on. @param {Partial<Standing>} change */
async function move(change) {
  await stand(change);
  await tellPages({ type: "moved" });
}

/** @type {Record<string, (data: any) => Promise<unknown>>} */
const REQUESTS = {
  check,
  repair,
  numbers,
  start,
  proved,
  standing,
  alive: async () => { if ((await standing()).starts) await stand({ starts: 0 }); },
  back: async ({ why }) => { if ((await standing()).previous) await move({ why }); },
  forward: () => move({ why: null, starts: 0 }),
};

scope.addEventListener("message", (event) => {
  const action = REQUESTS[event.data?.type];
  const port = event.ports[0];
  if (!action) return;
  event.waitUntil(action(event.data).then(
    (value) => port?.postMessage({ value: value ?? null, build: BUILD }),
    (reason) => port?.postMessage({ why: String(reason.message ?? reason), build: BUILD }),
  ));
});
