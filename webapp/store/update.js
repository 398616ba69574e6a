// From one version to the next: never by itself, never beside work, and back again when the new one fails.
import { t } from "../words/words.js";
import { offline, pageBuild, request, settled } from "./offline.js";

/** @typedef {{version: string, text: string}} NumberChange what changes in numbers, newest first */
/** @typedef {{proved: boolean, previous: string | null, starts: number, why: string | null}} Standing */
/** @typedef {{from: string, canGoBack: boolean, why: string | null}} Place where this version stands between two others */

const SWITCH_MS = 20_000;
const container = () => (/** @type {ServiceWorkerContainer | undefined} */ (navigator.serviceWorker));
const registration = () => container()?.getRegistration() ?? Promise.resolve(undefined);

/** What this version lists. @returns {Promise<NumberChange[]>} */
export async function ownNumbers() {
  const answer = await fetch(new URL("../numbers.json", import.meta.url));
  return answer.ok ? answer.json() : [];
}

/** What would change in numbers with the version that waits. @returns {Promise<NumberChange[]>} */
export async function comingNumbers() {
  const [coming, own] = await Promise.all([request((await registration())?.waiting, "numbers"), ownNumbers()]);
  const here = own.map(({ text }) => text);
  return coming.filter((/** @type {NumberChange} */ one) => !here.includes(one.text));
}

/** Start the version that waits and load the page once; refused, in words, while any window is at work, anything
 * is unsaved, or its files are not whole here. @returns {Promise<string>} empty when the page is about to load */
export async function applyUpdate() {
  const busy = await offline.guard();
  if (busy) return busy;
  await settled();
  const waiting = (await registration())?.waiting;
  if (!waiting) return t.update.noneWaits;
  const changed = takenOver();
  const refused = await request(waiting, "start").then(
    ({ refused: why }) => why, (reason) => t.update.notWhole(reason.message));
  return refused || await changed;
}

/** @returns {Promise<string>} */
function takenOver() {
  return new Promise((resolve) => {
    container()?.addEventListener("controllerchange", () => resolve(""), { once: true });
    setTimeout(() => resolve(t.update.didNotLetGo), SWITCH_MS);
  });
}

/** Ask the server for a newer version. @returns {Promise<string>} what came of it, in words */
export async function lookForUpdate() {
  const found = await registration();
  if (!found) return t.update.keepsNoVersions;
  try {
    await found.update();
  } catch {
    return t.update.needsNetwork;
  }
  return found.installing || found.waiting ? t.update.newerFound : t.update.isNewest;
}

/** @returns {Promise<Place | null>} */
export async function place() {
  const controller = container()?.controller;
  if (!controller) return null;
  const { proved, previous, why } = /** @type {Standing} */ (await request(controller, "standing"));
  return { from: previous ?? "", canGoBack: !proved && previous !== null && !why, why };
}

/** Use the version before this one again; this window is loaded anew, and every other one at rest. @param {string} why */
export async function goBack(why) {
  offline.guard = async () => "";
  await request(container()?.controller, "back", { why });
}

/** Give the newer version that was left another chance. */
export async function goForward() {
  offline.guard = async () => "";
  await request(container()?.controller, "forward");
}

/** Once its files are whole and its calculations run, this version stays and the one before it goes.
 * @param {{state: string, build?: string | null} & EventTarget} core */
export function proveWith(core) {
  const look = () => {
    if (offline.state.name !== "ready" || core.state !== "ready" || core.build !== pageBuild()) return;
    for (const one of [offline, core]) one.removeEventListener("change", look);
    container()?.controller?.postMessage({ type: "proved" });
  };
  for (const one of [offline, core]) one.addEventListener("change", look);
  look();
}
