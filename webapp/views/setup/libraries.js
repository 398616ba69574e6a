// Open-source works inside this app. `text` is where the licence lies among the app's own files.
import { t } from "../../words/words.js";

/** @type {{name: string, version: string, licence: string, does: string, text?: string}[]} */
export const LIBRARIES = [
  { name: "Pyodide", version: "314.0.4", licence: "MPL-2.0", does: t.setup.runsCalculationsDevice, text: "licences/MPL-2.0.txt" },
  { name: "CPython", version: "3.14", licence: "PSF-2.0", does: t.setup.languageCalculations, text: "licences/PSF-2.0.txt" },
  { name: "Emscripten", version: "5.0", licence: "MIT", does: t.setup.carriesLanguageIntoBrowser, text: "licences/emscripten.txt" },
  { name: "NumPy", version: "2.4.3", licence: "BSD-3-Clause", does: t.setup.rayTracingTiltedLens, text: "licences/numpy.txt" },
  { name: "pydicom", version: "3.0.2", licence: "MIT", does: t.setup.readsDicom, text: "licences/pydicom.txt" },
  { name: "micropip", version: "0.11.1", licence: "MPL-2.0, Apache-2.0, BSD-2-Clause", does: t.setup.bringsPydicom, text: "licences/micropip.txt" },
  { name: "Lit", version: "3.3.3", licence: "BSD-3-Clause", does: t.setup.drawsScreens, text: "vendor/lit/LICENSE" },
  { name: "idb", version: "8.0.4", licence: "ISC", does: t.setup.keepsRecords, text: "vendor/idb/LICENSE" },
  { name: "Observable Plot", version: "0.6.17", licence: "ISC", does: t.setup.drawsGraphsResults, text: "vendor/@observablehq/plot/LICENSE" },
  { name: "isoformat, interval-tree-1d, binary-search-bounds", version: "inside Observable Plot", licence: "ISC, MIT", does: t.setup.parts,
    text: "vendor/@observablehq/plot/LICENSE-PARTS" },
  { name: "D3", version: "7.9.2", licence: "ISC", does: t.setup.scalesShapesGraphs, text: "vendor/d3/LICENSE" },
  { name: "D3 modules, delaunator, internmap, robust-predicates", version: "inside D3", licence: "ISC, Unlicense", does: t.setup.parts,
    text: "vendor/d3/LICENSE-PARTS" },
];
