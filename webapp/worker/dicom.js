// The page's side of the DICOM reader: one file, one answer, and the worker is gone.
import { addresses, status } from "./client.js";
import { CoreError } from "./errors.js";
import { ownScript } from "./own-script.js";
import { t } from "../words/words.js";

/** One value of a way; `field` names its glossary entry. null empties what is entered.
 * @typedef {{name: string, field: string, label: string, unit: string, value: any}} Entry */
/** @typedef {{words: string, values: Entry[]}} Way */
/** @typedef {{side: "right" | "left", field: string, label: string, unit: string, decimals: number, value: number,
 *   about: string[], refused: string | null, ways: Way[]}} Candidate */
/** @typedef {{kind: string, places: string[], candidates: Candidate[], kept_back: "right" | "left" | null}} Read */
/** @typedef {"waiting" | "start" | "library" | "file"} Step */
/** @typedef {{signal: AbortSignal, step: (step: Step) => void}} Watched */

const WHEEL = "wheels/pydicom-3.0.2-py3-none-any.whl";
const READ_MS = 180_000;
/** As the core's own limit: a larger file is not even taken into memory. */
const MOST_BYTES = 4_000_000;
/** One Python starts at a time; the snapshot of the memory waits for the same lock. */
const LOCK = "guyline-snapshot";

/**
 * What the file offers to this eye; nothing of the file stays.
 * @param {File} file @param {"right" | "left"} eye @param {Watched} watched @returns {Promise<Read>}
 */
export async function readDicom(file, eye, watched) {
  if (file.size > MOST_BYTES) {
    throw new CoreError({ code: "file_too_large", field: "file", message: t.dicom.tooLarge });
  }
  const bytes = new Uint8Array(await file.arrayBuffer());
  if (!labelled(bytes)) {
    throw new CoreError({ code: "file_wrong_kind", field: "file", message: t.dicom.notDicom });
  }
  const payload = { bytes_base64: inLetters(bytes), eye };
  const request = JSON.stringify({ id: 1, operation: "dicom_read", payload });
  watched.step("waiting");
  const answer = JSON.parse(await alone(watched.signal, () => once(request, watched)));
  if (answer.error) throw new CoreError(answer.error);
  return answer.value;
}

/** Whether a file calls itself DICOM; the core looks again. @param {Uint8Array} bytes */
const labelled = (bytes) => String.fromCharCode(...bytes.subarray(128, 132)) === "DICM";

/** @param {Uint8Array} bytes */
function inLetters(bytes) {
  let letters = "";
  for (let start = 0; start < bytes.length; start += 32_768) letters += String.fromCharCode(...bytes.subarray(start, start + 32_768));
  return btoa(letters);
}

/** Not while the core starts, nor beside the making of a snapshot: a phone has room for one start.
 * @template T @param {AbortSignal} signal @param {() => Promise<T>} action @returns {Promise<T>} */
async function alone(signal, action) {
  await started(signal);
  status.note();
  return navigator.locks ? navigator.locks.request(LOCK, { signal }, action) : action();
}

/** @param {AbortSignal} signal @returns {Promise<void>} */
function started(signal) {
  return new Promise((resolve, reject) => {
    const look = () => {
      if (status.state === "starting") return;
      status.removeEventListener("change", look);
      resolve();
    };
    signal.addEventListener("abort", () => { status.removeEventListener("change", look); reject(signal.reason); }, { once: true });
    status.addEventListener("change", look);
    look();
  });
}

/** @param {string} text @param {Watched} watched @returns {Promise<string>} */
async function once(text, { signal, step }) {
  signal.throwIfAborted();
  step("start");
  const worker = new Worker(ownScript("worker/dicom-worker.js"), { type: "module", name: "dicom" });
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let clock;
  try {
    return await new Promise((resolve, reject) => {
      const failed = (/** @type {string} */ why) => reject(new CoreError({ code: "dicom_failed", message: t.dicom.notRead(why) }));
      clock = setTimeout(() => failed(t.dicom.tooLong), READ_MS);
      signal.addEventListener("abort", () => reject(signal.reason), { once: true });
      worker.addEventListener("error", (event) => failed(event.message || t.dicom.notStarted));
      worker.addEventListener("message", ({ data }) => {
        if (data.step) step(data.step);
        else if (data.text === undefined) failed(data.why);
        else resolve(data.text);
      });
      worker.postMessage({ text, where: { ...addresses(), dicom: new URL(`../${WHEEL}`, import.meta.url).href } });
    });
  } finally {
    clearTimeout(clock);
    worker.terminate();
  }
}
