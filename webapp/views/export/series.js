// A long series asked of the core piece by piece: the app stays responsive, each piece shows progress,
// and it can be stopped between two.
import { ask } from "../../worker/client.js";
import { today } from "../today.js";

/** @typedef {import("../../store/store.js").Case} Case */
/** @typedef {{signal: AbortSignal, progress: (done: number, total: number) => void}} Watched */
/** @typedef {{age_band_years: number, year_band_years: number, with_sex: boolean, with_indication: boolean}} Bands */
/** @typedef {{words: string, bands: Bands, smallest: number | null, in_small: number}} Coarser */
/** @typedef {{name: string, media_type: string, text: string}} MadeFile */
/** @typedef {{rows: number, lines: Record<string, number>, files: MadeFile[], archive: {name: string, media_type: string, base64: string},
 *   described: {name: string, unit: string, meaning: string}[],
 *   groups: {smallest: number | null, in_small: number, small_means_under: number, coarser: Coarser[]}}} Made */

const PIECE = 50;
/** Putting ten thousand eyes together takes a slow phone a while. */
const LONG_MS = 180_000;

/** @param {Case[]} cases @param {Watched} watched */
export async function partsOf(cases, { signal, progress }) {
  const parts = [];
  const leftOut = [];
  const exclude_demo = !cases.some((record) => record.demo);
  for (let start = 0; start < cases.length; start += PIECE) {
    progress(start, cases.length);
    const piece = cases.slice(start, start + PIECE);
    const { value } = await ask("export_part", { cases: piece, exclude_demo, today: today() }, { signal, answer_ms: LONG_MS });
    parts.push(...value.parts);
    leftOut.push(...value.left_out);
  }
  progress(cases.length, cases.length);
  return { parts, leftOut };
}

/** @param {unknown[]} parts @param {Bands} bands @param {string} variant @param {AbortSignal} signal @returns {Promise<Made>} */
export async function filesOf(parts, bands, variant, signal) {
  const { value } = await ask("export_files", { parts, ...bands, variant }, { signal, answer_ms: LONG_MS });
  return value;
}
