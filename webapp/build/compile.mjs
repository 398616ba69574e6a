// Runs one of the Python scripts beside this file inside the pinned Pyodide, so that the
// bytecode is made by the very interpreter that will load it, on every machine the same.
// usage: node compile.mjs PYODIDE_FOLDER SCRIPT IN_FOLDER OUT_FOLDER [ARGUMENT]
import { readFileSync } from "node:fs";
import { pathToFileURL } from "node:url";
import { join, resolve } from "node:path";

const [pyodideFolder, script, input, output, argument = ""] = process.argv.slice(2);
const { loadPyodide } = await import(pathToFileURL(join(resolve(pyodideFolder), "pyodide.mjs")).href);
const pyodide = await loadPyodide({
  indexURL: resolve(pyodideFolder),
  env: { PYTHONHASHSEED: "0" },
  enableRunUntilComplete: false,
});
for (const [mount, folder] of [["/in", input], ["/out", output]]) {
  pyodide.FS.mkdirTree(mount);
  pyodide.FS.mount(pyodide.FS.filesystems.NODEFS, { root: resolve(folder) }, mount);
}
pyodide.globals.set("ARGUMENT", argument);
pyodide.runPython(readFileSync(script, "utf8"));
