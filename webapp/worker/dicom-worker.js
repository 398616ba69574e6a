// Reads one DICOM file in a Python of its own, which ends afterwards: the library is large, and what is
// in the file goes with it. Everything comes from the app's own origin.
import { ON_PATH, parts, placeCore, plain, settings, within } from "./boot.js";

const scope = /** @type {DedicatedWorkerGlobalScope} */ (/** @type {unknown} */ (self));

/** @param {import("./boot.js").Addresses & {dicom: string}} where @returns {Promise<(text: string) => string>} */
async function reader(where) {
  const { loadPyodide, lock, core } = await parts(where);
  const pyodide = await within(loadPyodide(settings(where, lock)), where.timeout_ms);
  scope.postMessage({ step: "library" });
  await pyodide.loadPackage("micropip", { messageCallback: () => {}, errorCallback: () => {} });
  await pyodide.pyimport("micropip").install(where.dicom);
  placeCore(pyodide, core);
  return pyodide.runPython(`${ON_PATH}import pydicom\nfrom pycore.api import handle\nhandle`);
}

scope.addEventListener("message", async ({ data }) => {
  try {
    const handle = await reader(data.where);
    scope.postMessage({ step: "file" });
    scope.postMessage({ text: handle(data.text) });
  } catch (reason) {
    scope.postMessage({ why: plain(reason) });
  }
});
