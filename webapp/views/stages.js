// Which stage an eye is in, read off its record when the core is not there to say it.

/** @typedef {import("../store/store.js").Case} Case */
/** @typedef {import("./router.js").Stage} Stage */

/** @param {Case} record @returns {Stage} */
export function plainStage(record) {
  if (record.surgery_on || record.follow_ups?.length) return "follow-up";
  const started = ["readbacks", "readings", "haptic_log", "decisions"].some((list) => record[list]?.length);
  return started ? "theatre" : "plan";
}

/** The core writes follow_up, addresses say follow-up. @param {string} stage @returns {Stage} */
export function asStage(stage) {
  return /** @type {Stage} */ (stage.replace("_", "-"));
}
