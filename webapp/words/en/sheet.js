/** @typedef {import("../words.js").Value} Value */

export const sheet = {
  sheetTheatre: "Sheet for theatre",
  servesWhenPhoneCannot: "Serves when the phone cannot. Print it, or save it as a PDF, after the plan is final.",
  printSaveAsPdf: "Print or save as PDF",
  planNotComplete: "The plan is not complete",
  backPlan: "Back to the plan",
  sheetEye: "Sheet of this eye",
  rightEye: "RIGHT EYE",
  leftEye: "LEFT EYE",
  demoInventedNotPatient: "Demo, invented: not for a patient",
  patientLabel: "Patient label",
  readBackAloudFrom: "Read back aloud, from the notes and the lens box",
  read: "Read by",
  confirmed: "Confirmed by",
  time: "Time",
  cautions: "Cautions",
  madeGuylineSupportsLicensed: (/** @type {Value} */ when, /** @type {Value} */ core, /** @type {Value} */ value) => `Made ${when} by Guyline ${core}${value}. Supports a licensed surgeon's judgement; the manufacturer's label and local rules come first. Void when anything above changes.`,
  gridTwoReadingsCut: "Grid of two readings to the cut",
  howMuchCutFrom: "How much to cut from each haptic, mm",
  bothReadingsDownSide: (/** @type {Value} */ toLowerCase, /** @type {Value} */ lever) => `Both readings by ${toLowerCase}. Down the side: haptics drawn out. Along the top: haptics pushed in. <strong>${lever}</strong>`,
  out: "out \\ in",
};
