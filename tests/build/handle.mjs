// Answers a file of requests, one JSON text a line, with the built app's own Python:
// node handle.mjs DIST REQUESTS ANSWERS
import { readFileSync, readdirSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

const [dist, requests, answers] = process.argv.slice(2);
const folder = join(resolve(dist), "pyodide");
const { loadPyodide } = await import(pathToFileURL(join(folder, "pyodide.mjs")).href);
const pyodide = await loadPyodide({
  indexURL: folder,
  stdLibURL: join(folder, "python_stdlib.zip"),
  lockFileContents: readFileSync(join(folder, "pyodide-lock.json"), "utf8"),
  packageBaseUrl: folder,
  enableRunUntilComplete: false,
});
await pyodide.loadPackage(["numpy", "micropip"], { messageCallback: () => {} });
const wheel = readdirSync(join(resolve(dist), "wheels"))[0];
pyodide.FS.writeFile(`/tmp/${wheel}`, readFileSync(join(resolve(dist), "wheels", wheel)));
await pyodide.pyimport("micropip").install(`emfs:/tmp/${wheel}`);
pyodide.FS.mkdirTree("/core");
pyodide.FS.writeFile("/core/pycore.zip", readFileSync(join(resolve(dist), "core", "pycore.zip")));
// Every module is imported, so that nothing left out of the standard library is missed later.
const handle = pyodide.runPython(`
import importlib, sys, zipfile
sys.path.insert(0, "/core/pycore.zip")
for name in sorted(zipfile.ZipFile("/core/pycore.zip").namelist()):
    module = name.removesuffix(".pyc").removesuffix("/__init__").replace("/", ".")
    if not module.endswith("__main__"):
        importlib.import_module(module)
importlib.import_module("pycore.api").handle
`);
const lines = readFileSync(requests, "utf8").split("\n").filter((line) => line);
writeFileSync(answers, lines.map((line) => `${handle(line)}\n`).join(""));
