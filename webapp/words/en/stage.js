import { pluralIn } from "../plural.js";

/** @typedef {import("../words.js").Value} Value */

const plural = pluralIn("en");

export const stage = {
  firstHaptic: "first haptic",
  secondHaptic: "second haptic",
  notRecorded: "not recorded",
  ifLeftEmpty: (/** @type {Value} */ stand_in) => `If left empty: ${stand_in}`,
  notSavedEverythingEntered: (/** @type {Value} */ value) => `Not saved, and everything entered is still here. ${value}`,
  readBackTwoPeople: "Read back by two people",
  patient: "Patient",
  bothIdentifiersReadFrom: "Both identifiers read from the notes",
  allLinesConfirmed: "All lines confirmed.",
  linesStillConfirmTap: (/** @type {number} */ left) => `${left} ${plural(left, { one: "line", other: "lines" })} still to confirm: tap each as it is read aloud.`,
  notSavedHoldAgain: "Not saved. Hold again.",
  calculating: "Calculating…",
  outDateInputHas: "Out of date: an input has changed",
  youCanStillEnter: "You can still enter and read everything.",
  calculateAgain: "Calculate again",
  youEntered: (/** @type {Value} */ words) => `You entered ${words}.`,
  sphericalEquivalentMm: "Spherical equivalent at 12 mm",
  plusFormWithSign: "Plus cylinder is set in Setup. Type the sign.",
  minusFormWithSign: "Minus cylinder is set in Setup. Type the sign.",
  goField: "Go to the field",
  impossible: "Impossible",
  unusual: "Unusual",
  missing: "Missing",
  clockHour: (/** @type {Value} */ clock) => `${clock} o’clock`,
};
