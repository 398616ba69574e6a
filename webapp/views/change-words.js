// A line of the log in words.
import { FIELDS } from "../contract.js";
import { anyText, fieldOf } from "../elements/format.js";
import { t } from "../words/words.js";

/** @typedef {import("../store/store.js").LogEntry} LogEntry */

/** @type {Record<string, string>} */
const LISTS = {
  readings: t.shell.reading, follow_ups: t.shell.visit, haptic_log: t.shell.hapticLog, decisions: t.shell.decision, readbacks: t.shell.readBack, marks: t.shell.mark,
};

/** @param {string} path @returns {string | null} glossary name of the last step */
function fieldName(path) {
  const last = path.split(".").at(-1) ?? "";
  return [last, last.replace(/_[ab](?=_)/, "")].find((name) => name in FIELDS) ?? null;
}

/** @param {LogEntry} entry */
export function changeWords(entry) {
  if (entry.kind === "append") return t.shell.saved(LISTS[entry.path] ?? entry.path);
  if (entry.kind === "create") return t.shell.eyeAdded;
  if (entry.path === "lens") return t.shell.lensFromBoxSaved(anyText(entry.to?.lens_power_d, "lens_power_d"));
  if (entry.path === "measurements") return t.shell.measurementsSaved;
  if (entry.path.endsWith(".withdrawn")) return t.shell.withdrawnStillRecord;
  const name = fieldName(entry.path);
  if (!name) return t.shell.saved2;
  return t.shell.saved3(fieldOf(name).label, anyText(entry.to, name));
}

/** @param {LogEntry} entry */
export function undoneWords(entry) {
  if (entry.kind === "append") return t.shell.undoneWithdrawnStillRecord;
  if (entry.path === "lens") return t.shell.undoneLensPower(anyText(entry.from?.lens_power_d, "lens_power_d"));
  if (entry.path === "measurements") return t.shell.undoneMeasurements;
  const name = fieldName(entry.path);
  return name ? t.shell.undoneBackTo(fieldOf(name).label, anyText(entry.from, name)) : t.shell.undone;
}
