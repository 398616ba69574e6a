// Reads one DICOM file in a Python of its own, which ends afterwards: the library is large, and what is
// in the file goes with it. Everything comes from the app's own origin.

/** @typedef {{pyodide: string, indexURL: string, stdLibURL: string, lock: string, packages: string, core: string,
 *   dicom: string}} Addresses */

const scope = /** @type {DedicatedWorkerGlobalScope} */ (/** @type {unknown} */ (self));
const CORE_PATH = "/core/pycore.zip";

/** @param {string} address */
async function get(address) {
  const answer = await fetch(address);
  if (!answer.ok) throw new Error(`${new URL(address).pathname} is missing (${answer.status})`);
  return answer;
}

/** @param {Addresses} where @returns {Promise<(text: string) => string>} */
async function boot(where) {
  const [{ loadPyodide }, lock, core] = await Promise.all([
    import(where.pyodide), get(where.lock).then((answer) => answer.text()), get(where.core).then((answer) => answer.arrayBuffer()),
  ]);
  const pyodide = await loadPyodide({
    indexURL: where.indexURL, stdLibURL: where.stdLibURL, lockFileContents: lock, packageBaseUrl: where.packages, checkAPIVersion: true,
  });
  await pyodide.loadPackage("micropip", { messageCallback: () => {}, errorCallback: () => {} });
  await pyodide.pyimport("micropip").install(where.dicom);
  pyodide.FS.mkdirTree("/core");
  pyodide.FS.writeFile(CORE_PATH, new Uint8Array(core));
  return pyodide.runPython(`import sys\nsys.path.insert(0, "${CORE_PATH}")\nfrom pycore.api import handle\nhandle`);
}

/** @param {unknown} reason */
function plain(reason) {
  const text = String(/** @type {Error} */ (reason)?.message ?? reason).trim();
  return text.split("\n").pop() ?? text;
}

scope.addEventListener("message", async ({ data }) => {
  try {
    const handle = await boot(data.where);
    scope.postMessage({ text: handle(data.text) });
  } catch (reason) {
    scope.postMessage({ why: plain(reason) });
  }
});
