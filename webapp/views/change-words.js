// A line of the log in words.
import { FIELDS } from "../contract.js";
import { anyText } from "../elements/format.js";

/** @typedef {import("../store/store.js").LogEntry} LogEntry */

/** @type {Record<string, string>} */
const LISTS = {
  readings: "Reading", follow_ups: "Visit", haptic_log: "Haptic log", decisions: "Decision", readbacks: "Read-back", marks: "Mark",
};

/** @param {string} path @returns {string | null} glossary name of the last step */
function fieldName(path) {
  const last = path.split(".").at(-1) ?? "";
  return [last, last.replace(/_[ab](?=_)/, "")].find((name) => name in FIELDS) ?? null;
}

/** @param {LogEntry} entry */
export function changeWords(entry) {
  if (entry.kind === "append") return `${LISTS[entry.path] ?? entry.path} saved`;
  if (entry.kind === "create") return "Eye added";
  if (entry.path === "lens") return `Lens ${anyText(entry.to?.lens_power_d, "lens_power_d")} from the box saved`;
  if (entry.path === "measurements") return "Measurements saved";
  if (entry.path.endsWith(".withdrawn")) return "Withdrawn, still in the record";
  const name = fieldName(entry.path);
  if (!name) return "Saved";
  return `${FIELDS[name].label}: ${anyText(entry.to, name)} saved`;
}

/** @param {LogEntry} entry */
export function undoneWords(entry) {
  if (entry.kind === "append") return "Undone: withdrawn, still in the record";
  if (entry.path === "lens") return `Undone. Lens power: ${anyText(entry.from?.lens_power_d, "lens_power_d")}`;
  if (entry.path === "measurements") return "Undone: the measurements are as before";
  const name = fieldName(entry.path);
  return name ? `Undone. ${FIELDS[name].label}: ${anyText(entry.from, name)}` : "Undone";
}
