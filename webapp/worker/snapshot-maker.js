// Takes the memory snapshot from which the next start is made: Python with the whole core
// imported, without numpy. A worker of its own, so that it can be ended at any moment.
import { ON_PATH, parts, placeCore, plain, settings, within } from "./boot.js";
import { MOST_HEAP, keep, refuse } from "./kept-snapshot.js";

/** @typedef {import("./boot.js").Addresses} Addresses */
const scope = /** @type {DedicatedWorkerGlobalScope} */ (/** @type {unknown} */ (self));

// Every module of the core but those that need numpy, so that the first answer of any kind finds
// its code in memory. Nothing of it is left behind as an object of the page.
const IMPORT_ALL = `${ON_PATH}
def _import_all():
    import contextlib, importlib, zipfile
    from pycore.errors import NumpyNotReady
    for name in sorted(zipfile.ZipFile(sys.path[0]).namelist()):
        module = name.removesuffix(".pyc").removesuffix("/__init__").replace("/", ".")
        if name.endswith(".pyc") and not module.endswith("__main__"):
            with contextlib.suppress(NumpyNotReady):
                importlib.import_module(module)
    assert "numpy" not in sys.modules
_import_all()
del _import_all
import gc
gc.collect()
from pycore._build import BUILD_ID
BUILD_ID`;

/** @param {Addresses} where @returns {Promise<{bytes: Uint8Array<ArrayBuffer>, core: Uint8Array<ArrayBuffer>}>} */
async function take(where) {
  const { loadPyodide, lock, core } = await parts(where);
  const python = await loadPyodide(settings(where, lock, { _makeSnapshot: true }));
  placeCore(python, core);
  const build = python.runPython(IMPORT_ALL);
  if (build !== where.build) throw new Error("The core belongs to another build.");
  const heap = python._module.HEAPU8.length;
  if (heap > MOST_HEAP) throw new Error(`Python's memory is too large to be kept (${heap}).`);
  return { bytes: python.makeMemorySnapshot(), core };
}

/** @param {Addresses & {build: string}} where */
async function make(where) {
  try {
    const { bytes, core } = await within(take(where), where.timeout_ms);
    await keep(where.build, bytes, core);
    scope.postMessage({ type: "kept" });
  } catch (reason) {
    await refuse(where.build, plain(reason)).catch(() => {});
    scope.postMessage({ type: "refused", why: plain(reason) });
  }
}

scope.addEventListener("message", ({ data }) => make(data.where));
