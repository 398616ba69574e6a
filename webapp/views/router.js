// Places by hash: what the address says, and nothing else, decides which screen is shown.
import { t } from "../words/words.js";

/** @typedef {"plan" | "theatre" | "follow-up" | "sheet"} Stage */
/** @typedef {{place: "eyes" | "new" | "box" | "results" | "export" | "import" | "setup" | "glossary" | "learning" | "libraries" | "start"} | {place: "eye", code: string, stage: Stage}} Route */

/** The stages in the order of the work; the sheet belongs to the plan. @type {Stage[]} */
export const STAGES = ["plan", "theatre", "follow-up"];

/** @type {Record<string, string>} */
export const STAGE_NAMES = { plan: t.shell.plan, theatre: t.shell.theatre, "follow-up": t.shell.followUp };

/** @type {Record<string, Route>} */
const PLACES = {
  "#/eyes": { place: "eyes" },
  "#/new": { place: "new" },
  "#/box": { place: "box" },
  "#/results": { place: "results" },
  "#/export": { place: "export" },
  "#/import": { place: "import" },
  "#/setup": { place: "setup" },
  "#/glossary": { place: "glossary" },
  "#/learning": { place: "learning" },
  "#/start": { place: "start" },
  "#/libraries": { place: "libraries" },
};

const EYE = /^#\/eye\/([^/]+)\/(plan|theatre|follow-up|sheet)$/;

/** @param {string} hash @returns {Route} */
export function routeOf(hash) {
  const eye = hash.match(EYE);
  if (eye) return { place: "eye", code: decodeURIComponent(eye[1]), stage: /** @type {Stage} */ (eye[2]) };
  return PLACES[hash] ?? PLACES["#/eyes"];
}

/** @param {string} code @param {Stage} stage */
export function eyeAddress(code, stage) {
  return `#/eye/${encodeURIComponent(code)}/${stage}`;
}
