// A finished file out of the app: the share sheet where there is one, a download elsewhere.
import { t } from "../../words/words.js";

/** @typedef {"shared" | "cancelled" | "not-allowed" | "failed"} Outcome */

/** @typedef {{name: string, media_type: string, text?: string, base64?: string}} Made */

/** Each is made once, however often the screen is drawn. @type {WeakMap<Made, File>} */
const kept = new WeakMap();

/** @param {Made} made */
export function fileOf(made) {
  const file = kept.get(made) ?? asFile(made);
  kept.set(made, file);
  return file;
}

/** @param {Made} made */
function asFile({ name, media_type, text, base64 }) {
  const content = base64 === undefined ? (text ?? "") : bytesOf(base64);
  return new File([content], name, { type: media_type });
}

/** @param {string} base64 */
function bytesOf(base64) {
  return Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
}

/** @param {File} file */
export function canShare(file) {
  return Boolean(navigator.canShare?.({ files: [file] }));
}

/** @type {Record<string, Outcome>} */
const FAULTS = { AbortError: "cancelled", NotAllowedError: "not-allowed" };

/** Called inside the tap, with a file that is ready. @param {File} file @returns {Promise<Outcome>} */
export async function share(file) {
  try {
    await navigator.share({ files: [file] });
    return "shared";
  } catch (reason) {
    return FAULTS[/** @type {Error} */ (reason).name] ?? "failed";
  }
}

/** @type {Record<Outcome, (name: string) => string>} */
export const OUTCOME_WORDS = {
  shared: (name) => t.exporting.wasHandedOver(name),
  cancelled: () => t.exporting.nothingWasHandedOver,
  "not-allowed": () => t.exporting.deviceDoesNotAllow,
  failed: (name) => t.exporting.shareSheetFailedNothing(name),
};

/** @param {File} file */
export function save(file) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(file);
  link.download = file.name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}
