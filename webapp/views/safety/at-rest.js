// When another version of the app may take over: never beside an open eye, a form or anything unsaved.
import { t } from "../../words/words.js";

/** Places where nothing is typed. */
const AT_REST = new Set(["eyes", "results", "learning", "glossary", "libraries"]);

/** Why not now, in words; empty when this window is at rest.
 * @param {import("../../store/store.js").Store} store @param {() => import("../router.js").Route} routeNow @returns {Promise<string>} */
export async function whyNotNow(store, routeNow) {
  if (!await store.settled()) return t.update.somethingNotSaved;
  const route = routeNow();
  if (route.place === "eye") return t.update.eyeOpen(route.code);
  return AT_REST.has(route.place) ? "" : t.update.atWorkElsewhere;
}
