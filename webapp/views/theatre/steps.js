/** The order of the theatre's screens. Nothing advances by itself: Next and Back only. */
import { t } from "../../words/words.js";

/** @typedef {"gate" | "conditions" | "readings" | "where" | "reading" | "eye" | "chart" | "advice" | "cut" | "log"} StepName */

/** @type {Readonly<Record<StepName, string>>} */
export const TITLES = {
  gate: t.theatre.readBack,
  conditions: t.theatre.conditions,
  readings: t.theatre.readings,
  where: t.theatre.whereHaptics,
  reading: t.theatre.whatWasRead,
  eye: t.theatre.eyeDuring,
  chart: t.theatre.chart,
  advice: t.theatre.advice,
  cut: t.theatre.readBackCut2,
  log: t.theatre.whatWasDone,
};

/** The main line; the three screens of a new reading branch off "readings". @type {readonly StepName[]} */
export const MAIN = ["gate", "conditions", "readings", "chart", "advice", "cut", "log"];

/** @type {readonly StepName[]} */
export const NEW_READING = ["where", "reading", "eye"];

/**
 * The screen after this one, or null.
 * @param {StepName} step @returns {StepName | null}
 */
export function after(step) {
  const line = NEW_READING.includes(step) ? NEW_READING : MAIN;
  return line[line.indexOf(step) + 1] ?? null;
}

/**
 * The screen before this one, or null; a new reading leads back to the list.
 * @param {StepName} step @returns {StepName | null}
 */
export function before(step) {
  if (step === "where") return "readings";
  const line = NEW_READING.includes(step) ? NEW_READING : MAIN;
  return line[line.indexOf(step) - 1] ?? null;
}

/** @param {unknown} word @returns {word is StepName} */
export function isStep(word) {
  return typeof word === "string" && word in TITLES;
}
