// Carrying out a merge plan, once every conflict has an answer.
import { StoreError } from "./errors.js";
import { withValue } from "./paths.js";
import { t } from "../words/words.js";

/** @typedef {import("./merge.js").EyePlan} EyePlan */
/** @typedef {import("./merge.js").Plan} Plan */
/** @typedef {"here" | "file"} Answer */

/** How a conflict is called among the answers. @param {string} code @param {string} path */
export const question = (code, path) => `${code} ${path}`;

/** Every question of a plan that needs an answer. @param {Plan} plan @returns {string[]} */
export function questions(plan) {
  const eyes = plan.eyes.flatMap((eye) => eye.conflicts.map(({ path }) => question(eye.code, path)));
  return [...eyes, ...asked(plan).map(({ name }) => question("setup", name))];
}

/** Preferences that both have, and differently. @param {Plan} plan */
export const asked = (plan) => plan.preferences.filter(({ here }) => here !== null);

/**
 * One eye after the other, each whole: a failure leaves the earlier ones taken in and the others untouched.
 * @param {import("./store.js").Store} store @param {Plan} plan @param {Record<string, Answer>} answers
 * @returns {Promise<number>} how many eyes were taken in
 */
export async function carryOut(store, plan, answers) {
  if (questions(plan).some((name) => !answers[name])) throw new StoreError("unanswered", t.store.chooseOneTwoEvery);
  for (const eye of plan.eyes) await store.takeIn(eye.code, answered(eye, answers), eye.lines);
  for (const { name, here, file } of plan.preferences) {
    if (here === null || answers[question("setup", name)] === "file") await store.preference(name, file);
  }
  return plan.eyes.length;
}

/** @param {EyePlan} eye @param {Record<string, Answer>} answers */
function answered({ code, record, conflicts }, answers) {
  return conflicts.reduce((result, { path, here, file }) => {
    const value = answers[question(code, path)] === "file" ? file : here;
    return path ? withValue(result, path, value) : value;
  }, record);
}
