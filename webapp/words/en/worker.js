/** @typedef {import("../words.js").Value} Value */

export const worker = {
  workerFileCouldNot: "The worker file could not be read.",
  pythonDidNotStart: "Python did not start in time.",
  pageCalculationsBelongDifferent: "This page and the calculations belong to different versions. Close the app and open it again.",
  coreAnsweredNoNumber: (/** @type {Value} */ bad) => `The core answered with no number at ${bad}.`,
  notNumberEnterMeasured: (/** @type {Value} */ bad) => `${bad} is not a number. Enter the measured value.`,
  startingCalculations: "Starting the calculations.",
  calculationsReady: "Calculations are ready.",
  calculationsCouldNotStart: "Calculations could not start.",
  calculationTookTooLong: "The calculation took too long and was stopped. Nothing was changed. Try it again.",
};
