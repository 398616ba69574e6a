// Open-source works inside this app. `text` is where the licence lies among the app's own files.

/** @type {{name: string, version: string, licence: string, does: string, text?: string}[]} */
export const LIBRARIES = [
  { name: "Pyodide", version: "314.0.4", licence: "MPL-2.0", does: "runs the calculations on the device" },
  { name: "CPython", version: "3.14", licence: "PSF-2.0", does: "the language of the calculations" },
  { name: "Emscripten", version: "5.0", licence: "MIT", does: "carries the language into the browser" },
  { name: "NumPy", version: "2.4.3", licence: "BSD-3-Clause", does: "ray tracing of the tilted lens" },
  { name: "Lit", version: "3.3.3", licence: "BSD-3-Clause", does: "draws the screens", text: "vendor/lit/LICENSE" },
  { name: "idb", version: "8.0.4", licence: "ISC", does: "keeps the records", text: "vendor/idb/LICENSE" },
];
