// One way to start Python, for the core and for the worker that takes its memory snapshot.

/**
 * @typedef {{pyodide: string, indexURL: string, stdLibURL: string, lock: string, packages: string,
 *   core: string, build: string | null, timeout_ms: number}} Addresses
 */
export const CORE_PATH = "/core/pycore.zip";

/** The core's files and Pyodide's loader, asked for at once.
 * @param {Addresses} where */
export async function parts(where) {
  const [{ loadPyodide }, lock, core] = await Promise.all([
    import(where.pyodide),
    get(where.lock).then((answer) => answer.text()),
    get(where.core).then((answer) => answer.arrayBuffer()),
  ]);
  return { loadPyodide, lock, core: new Uint8Array(core) };
}

/** @param {string} address @returns {Promise<Response>} */
async function get(address) {
  const answer = await fetch(address);
  if (!answer.ok) throw new Error(`${new URL(address).pathname} is missing (${answer.status})`);
  return answer;
}

/** @param {Addresses} where @param {string} lock @param {object} [more] */
export const settings = (where, lock, more = {}) => ({
  indexURL: where.indexURL,
  stdLibURL: where.stdLibURL,
  lockFileContents: lock,
  packageBaseUrl: where.packages,
  enableRunUntilComplete: false,
  checkAPIVersion: true,
  ...more,
});

/** The core's archive goes to the same path before any import, after a restore too: its modules
 * are read from there later, and must be of the same build. @param {any} pyodide @param {Uint8Array<ArrayBuffer>} core */
export function placeCore(pyodide, core) {
  pyodide.FS.mkdirTree("/core");
  pyodide.FS.writeFile(CORE_PATH, core);
}

/** Python text that makes the archive importable, once. */
export const ON_PATH = `import sys\nif "${CORE_PATH}" not in sys.path: sys.path.insert(0, "${CORE_PATH}")\n`;

/** A wasm file that cannot be read makes loadPyodide wait for ever; this ends the wait.
 * @template T @param {Promise<T>} promise @param {number} ms @returns {Promise<T>} */
export function within(promise, ms) {
  return new Promise((resolve, reject) => {
    const timer = setTimeout(() => reject(new Error("Python did not start in time")), ms);
    promise.then(resolve, reject).finally(() => clearTimeout(timer));
  });
}

/** @param {unknown} reason */
export function plain(reason) {
  const text = String(/** @type {Error} */ (reason)?.message ?? reason).trim();
  return text.split("\n").pop() ?? text;
}
