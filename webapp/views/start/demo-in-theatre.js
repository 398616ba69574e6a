// One tap to an invented eye that is being titrated.
import { ask } from "../../worker/client.js";
import { eyeAddress } from "../router.js";

/** @typedef {import("../../store/store.js").Store} Store */

/** Adds what is missing of the demo eyes; an eye that is there already is left as it is. @param {Store} store @returns {Promise<any[]>} */
export async function addDemoEyes(store) {
  const { value } = await ask("demo_cases", {});
  for (const record of value.cases) {
    if (!(await store.read(record.code))) await store.create(record);
  }
  return value.cases;
}

/** The demo eye with readings and no visit yet, opened in theatre. @param {Store} store */
export async function openDemoInTheatre(store) {
  const cases = await addDemoEyes(store);
  const found = cases.find((record) => record.readings.length > 0 && record.follow_ups.length === 0);
  location.hash = eyeAddress(found.code, "theatre");
}
