// The Python core, in a worker of its own. It is told by message where its files are, answers
// text with text, and brings numpy in the background once the first answer is out.

/**
 * @typedef {{pyodide: string, indexURL: string, stdLibURL: string, lock: string, packages: string,
 *   core: string, timeout_ms: number}} Addresses
 */
const scope = /** @type {DedicatedWorkerGlobalScope} */ (/** @type {unknown} */ (self));
const CORE_PATH = "/core/pycore.zip";
const NUMPY_DELAY_MS = 1500;

/** @type {any} */
let pyodide;
/** @type {(text: string) => string} */
let handle;
/** @type {Promise<void> | undefined} */
let numpyLoading;

/** @param {string} address @returns {Promise<Response>} */
async function get(address) {
  const answer = await fetch(address);
  if (!answer.ok) throw new Error(`${new URL(address).pathname} is missing (${answer.status})`);
  return answer;
}

/** A wasm file that cannot be read makes loadPyodide wait for ever; this ends the wait.
 * @template T @param {Promise<T>} promise @param {number} ms @returns {Promise<T>} */
function within(promise, ms) {
  return new Promise((resolve, reject) => {
    const timer = setTimeout(() => reject(new Error("Python did not start in time")), ms);
    promise.then(resolve, reject).finally(() => clearTimeout(timer));
  });
}

/** @param {Addresses} where */
async function boot(where) {
  const [{ loadPyodide }, lock, core] = await Promise.all([
    import(where.pyodide),
    get(where.lock).then((answer) => answer.text()),
    get(where.core).then((answer) => answer.arrayBuffer()),
  ]);
  pyodide = await loadPyodide({
    indexURL: where.indexURL,
    stdLibURL: where.stdLibURL,
    lockFileContents: lock,
    packageBaseUrl: where.packages,
    enableRunUntilComplete: false,
    checkAPIVersion: true,
  });
  pyodide.FS.mkdirTree("/core");
  pyodide.FS.writeFile(CORE_PATH, new Uint8Array(core));
  const [door, build] = pyodide.runPython(
    `import sys\nsys.path.insert(0, "${CORE_PATH}")\n` +
    "from pycore.api import handle\nfrom pycore._build import BUILD_ID\n(handle, BUILD_ID)",
  );
  handle = door;
  return String(build);
}

/** @param {Addresses} where */
async function start(where) {
  try {
    const build = await within(boot(where), where.timeout_ms);
    scope.postMessage({ type: "ready", build });
  } catch (reason) {
    scope.postMessage({ type: "failed", why: plain(reason) });
  }
}

/** @param {unknown} reason */
function plain(reason) {
  const text = String(/** @type {Error} */ (reason)?.message ?? reason).trim();
  return text.split("\n").pop() ?? text;
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
  else setTimeout(loadNumpy, NUMPY_DELAY_MS);
}

function loadNumpy() {
  numpyLoading ??= bringNumpy();
}

async function bringNumpy() {
  scope.postMessage({ type: "numpy", state: "loading" });
  try {
    await pyodide.loadPackage("numpy", { messageCallback: () => {}, errorCallback: () => {} });
    pyodide.runPython("import importlib; importlib.invalidate_caches(); import numpy");
    scope.postMessage({ type: "numpy", state: "ready" });
  } catch (reason) {
    numpyLoading = undefined;
    scope.postMessage({ type: "numpy", state: "failed", why: plain(reason) });
  }
}

scope.addEventListener("message", ({ data }) => {
  if (data.type === "start") start(data.where);
  else if (data.type === "ask") answer(data.id, data.text);
  else if (data.type === "numpy") loadNumpy();
});
