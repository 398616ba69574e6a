/** The order of the theatre's screens. Nothing advances by itself: Next and Back only. */
import { t } from "../../words/words.js";

/** @typedef {"gate" | "readings" | "aphakic" | "conditions" | "where" | "reading" | "eye" | "chart" | "advice" | "cut" | "log"} StepName */

/** @type {Readonly<Record<StepName, string>>} */
export const TITLES = {
  gate: t.theatre.readBack,
  readings: t.theatre.readings,
  aphakic: t.hands.beforeLensTitle,
  conditions: t.theatre.conditions,
  where: t.theatre.whereHaptics,
  reading: t.theatre.whatWasRead,
  eye: t.theatre.eyeDuring,
  chart: t.theatre.chart,
  advice: t.theatre.advice,
  cut: t.theatre.readBackCut2,
  log: t.theatre.whatWasDone,
};

/** The main line. @type {readonly StepName[]} */
const MAIN = ["gate", "readings", "chart", "advice", "cut", "log"];

/** Lines that branch off the list of readings and lead back to it. @type {ReadonlyArray<readonly StepName[]>} */
const BRANCHES = [["conditions", "where", "reading", "eye"], ["aphakic"]];

/** @param {StepName} step @returns {readonly StepName[]} */
function lineOf(step) {
  return BRANCHES.find((line) => line.includes(step)) ?? MAIN;
}

/**
 * The screen after this one, or null.
 * @param {StepName} step @returns {StepName | null}
 */
export function after(step) {
  const line = lineOf(step);
  return line[line.indexOf(step) + 1] ?? null;
}

/**
 * The screen before this one, or null.
 * @param {StepName} step @returns {StepName | null}
 */
export function before(step) {
  const line = lineOf(step);
  return line[line.indexOf(step) - 1] ?? (line === MAIN ? null : "readings");
}

/** @param {unknown} word @returns {word is StepName} */
export function isStep(word) {
  return typeof word === "string" && word in TITLES;
}
