// The page's side of the DICOM reader: one file, one answer, and the worker is gone.
import { addresses } from "./client.js";
import { CoreError } from "./errors.js";

/** @typedef {{path: string, label: string, unit: string, value: any, now: any, differs: boolean}} Place */
/** @typedef {{words: string, values: Place[], conflict: boolean}} Way */
/** @typedef {{side: "right" | "left", field: string, label: string, unit: string, decimals: number, value: number,
 *   about: string[], refused: string | null, ways: Way[]}} Candidate */
/** @typedef {{kind: string, candidates: Candidate[]}} Read */

const WHEEL = "wheels/pydicom-3.0.2-py3-none-any.whl";
const READ_MS = 120_000;
const MOST_BYTES = 4_000_000;

/**
 * What the file offers to this eye; nothing of the file stays.
 * @param {File} file @param {"right" | "left"} eye @param {Record<string, any>} values entered already, by place
 * @param {AbortSignal} signal @returns {Promise<Read>}
 */
export async function readDicom(file, eye, values, signal) {
  if (file.size > MOST_BYTES) {
    throw new CoreError({ code: "file_too_large", field: "file", message: "The file is far larger than measurements are. It is likely an image: choose the measurement object." });
  }
  const bytes = new Uint8Array(await file.arrayBuffer());
  let letters = "";
  for (let start = 0; start < bytes.length; start += 32_768) letters += String.fromCharCode(...bytes.subarray(start, start + 32_768));
  const payload = { bytes_base64: btoa(letters), eye, values };
  const text = await once(JSON.stringify({ id: 1, operation: "dicom_read", payload }), signal);
  const answer = JSON.parse(text);
  if (answer.error) throw new CoreError(answer.error);
  return answer.value;
}

/** @param {string} text @param {AbortSignal} signal @returns {Promise<string>} */
function once(text, signal) {
  const worker = new Worker(new URL("./dicom-worker.js", import.meta.url), { type: "module", name: "dicom" });
  const done = new Promise((resolve, reject) => {
    const failed = (/** @type {string} */ why) => reject(new CoreError({ code: "dicom_failed", message: `The file could not be read. ${why}` }));
    const clock = setTimeout(() => failed("It took too long and was stopped."), READ_MS);
    signal.addEventListener("abort", () => { clearTimeout(clock); reject(signal.reason); }, { once: true });
    worker.addEventListener("error", (event) => failed(event.message || "The reader could not start."));
    worker.addEventListener("message", ({ data }) => (data.text === undefined ? failed(data.why) : resolve(data.text)));
    worker.postMessage({ text, where: { ...addresses(), dicom: new URL(`../${WHEEL}`, import.meta.url).href } });
  });
  return done.finally(() => worker.terminate());
}
