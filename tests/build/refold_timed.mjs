// Runs refold_timed.py in the built app's own Python: node refold_timed.mjs DIST SCRIPT EYES
import { readFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

const [dist, script, eyes] = process.argv.slice(2);
const folder = join(resolve(dist), "pyodide");
const { loadPyodide } = await import(pathToFileURL(join(folder, "pyodide.mjs")).href);
const pyodide = await loadPyodide({
  indexURL: folder,
  stdLibURL: join(folder, "python_stdlib.zip"),
  lockFileContents: readFileSync(join(folder, "pyodide-lock.json"), "utf8"),
  packageBaseUrl: folder,
  enableRunUntilComplete: false,
});
pyodide.FS.mkdirTree("/core");
pyodide.FS.writeFile("/core/pycore.zip", readFileSync(join(resolve(dist), "core", "pycore.zip")));
pyodide.FS.writeFile("/core/refold_timed.py", readFileSync(script));
pyodide.FS.writeFile("/core/eyes.json", readFileSync(eyes));
console.log(pyodide.runPython(`
import sys
sys.path[:0] = ["/core/pycore.zip", "/core"]
import refold_timed
refold_timed.report("/core/eyes.json")
`));
