// The Python core, in a worker of its own. It is told by message where its files are, answers
// text with text, and brings numpy in the background once the first answer is out.
import { ON_PATH, parts, placeCore, plain, settings, within } from "./boot.js";
import { forget, proved } from "./kept-snapshot.js";

/** @typedef {import("./boot.js").Addresses} Addresses */
const scope = /** @type {DedicatedWorkerGlobalScope} */ (/** @type {unknown} */ (self));
// Bringing numpy takes a few tenths of a second in which nothing is answered: only at rest.
const REST_MS = 700;
// A restore takes a fraction of a second; far beyond that the plain way is the better one.
const RESTORE_MS = 15_000;

/** @type {any} */
let pyodide;
/** @type {(text: string) => string} */
let handle;
/** Texts of the language of the answers, as the core reads them. @type {string | null} */
let language = null;
/** @type {Promise<void> | undefined} */
let numpyLoading;

/** When each step of the start was done, ms since this worker began; the bench shows them.
 * @type {Record<string, number>} */
const steps = {};

/** @template T @param {string} name @returns {(value: T) => T} */
const done = (name) => (value) => {
  steps[name] = Math.round(performance.now());
  return value;
};

/** From the snapshot when there is a sound one, else the plain way; says which, and why.
 * @param {Addresses} where @returns {Promise<{build: string, from: string, why: string | null}>} */
async function boot(where) {
  const files = parts(where).then(done("files"));
  try {
    const bytes = await proved(where.build, () => files.then(({ core }) => core)).then(done("proved"));
    if (bytes) return { build: await within(restore(where, await files, bytes), RESTORE_MS), from: "snapshot", why: null };
  } catch (reason) {
    await forget(where.build).catch(() => {});
    return { build: await plainBoot(where, await files), from: "plain", why: plain(reason) };
  }
  return { build: await plainBoot(where, await files), from: "plain", why: null };
}

/** @typedef {Awaited<ReturnType<typeof parts>>} Files */

/** @param {Addresses} where @param {Files} files */
async function plainBoot(where, { loadPyodide, lock, core }) {
  return open(await loadPyodide(settings(where, lock)), core);
}

/** @param {Addresses} where @param {Files} files @param {Uint8Array<ArrayBuffer>} bytes */
async function restore(where, { loadPyodide, lock, core }, bytes) {
  const python = await loadPyodide(settings(where, lock, { _loadSnapshot: bytes }));
  // Pyodide holds the copy it restored from for as long as it lives: thirty megabytes.
  if (python._api?.config) python._api.config._loadSnapshot = undefined;
  const build = open(python, core);
  if (build !== where.build) throw new Error("The snapshot holds another build.");
  // Its random numbers would repeat at every start. Codes and ids never come from them.
  python.runPython('import sys\nif "random" in sys.modules: sys.modules["random"].seed()');
  return build;
}

/** @param {any} python @param {Uint8Array<ArrayBuffer>} core @returns {string} the core's build */
function open(python, core) {
  done("python")(python);
  placeCore(python, core);
  const [door, speak, build] = python.runPython(
    `${ON_PATH}from pycore.api import handle, speak\nfrom pycore._build import BUILD_ID\n(handle, speak, BUILD_ID)`,
  );
  if (language !== null) speak(language);
  pyodide = python;
  handle = door;
  return String(build);
}

/** @param {Addresses} where */
async function start(where) {
  try {
    const { build, from, why } = await within(boot(where), where.timeout_ms);
    scope.postMessage({ type: "ready", build, from, why, steps: done("core")(steps) });
  } catch (reason) {
    scope.postMessage({ type: "failed", why: plain(reason) });
  }
}

/** @param {unknown} id @param {string} text */
function answer(id, text) {
  let reply;
  try {
    reply = handle(text);
  } catch (reason) {
    const error = { code: "core_fault", field: null, message: `The core stopped on this request: ${plain(reason)}` };
    reply = JSON.stringify({ id, error });
  }
  scope.postMessage({ type: "answer", id, text: reply });
  if (reply.includes('"numpy_not_ready"')) loadNumpy();
  else numpyAtRest();
}

/** @type {ReturnType<typeof setTimeout> | undefined} */
let rest;

function numpyAtRest() {
  clearTimeout(rest);
  if (!numpyLoading) rest = setTimeout(loadNumpy, REST_MS);
}

function loadNumpy() {
  numpyLoading ??= bringNumpy();
}

async function bringNumpy() {
  scope.postMessage({ type: "numpy", state: "loading" });
  try {
    await pyodide.loadPackage("numpy", { messageCallback: () => {}, errorCallback: () => {} });
    pyodide.runPython("import importlib; importlib.invalidate_caches(); import numpy");
    scope.postMessage({ type: "numpy", state: "ready", heap: pyodide._module.HEAPU8.length });
  } catch (reason) {
    numpyLoading = undefined;
    scope.postMessage({ type: "numpy", state: "failed", why: plain(reason) });
  }
}

scope.addEventListener("message", ({ data }) => {
  if (data.type === "start") {
    language = data.language;
    start(data.where);
  }
  else if (data.type === "ask") answer(data.id, data.text);
  else if (data.type === "numpy") loadNumpy();
});
