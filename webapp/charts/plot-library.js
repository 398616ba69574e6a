// The drawing library, brought only when a graph is to be drawn. It is two files that put themselves
// on the page; the second needs the first.

/** @typedef {Record<string, (...parts: any[]) => any>} Library */

/** @type {Promise<Library> | null} */
let brought = null;

/** @returns {Promise<Library>} */
export function drawing() {
  brought ??= bring().catch((reason) => {
    brought = null;
    throw reason;
  });
  return brought;
}

async function bring() {
  for (const path of ["d3/d3.min.js", "@observablehq/plot/plot.umd.min.js"]) {
    await import(new URL(`../vendor/${path}`, import.meta.url).href);
  }
  return /** @type {any} */ (globalThis).Plot;
}
