// Light in the clinic, near-black in theatre, black on white in the sun; by itself or always one of them.
import { t } from "../words/words.js";

/** @typedef {"clinic" | "theatre" | "sun"} Theme */
/** @typedef {"by_stage" | Theme} ThemeChoice */

/** @type {Record<ThemeChoice, string>} */
export const THEME_WORDS = {
  by_stage: t.shell.darkTheatreOnly, clinic: t.shell.alwaysLight, theatre: t.shell.alwaysDark, sun: t.shell.alwaysSun,
};

/** In the order of the switch. @type {Theme[]} */
const THEMES = ["clinic", "theatre", "sun"];

const dark = matchMedia("(prefers-color-scheme: dark)");
const strong = matchMedia("(prefers-contrast: more)");

/** @param {import("./router.js").Route} route */
const inTheatre = (route) => route.place === "eye" && route.stage === "theatre";

/** What is shown when nothing was chosen: near-black in theatre, elsewhere as the device is set. @param {import("./router.js").Route} route @returns {Theme} */
function byItself(route) {
  if (inTheatre(route) || dark.matches) return "theatre";
  return strong.matches ? "sun" : "clinic";
}

/** @param {ThemeChoice | null} choice @param {import("./router.js").Route} route @returns {Theme} */
export function themeOf(choice, route) {
  return !choice || choice === "by_stage" ? byItself(route) : choice;
}

/** The theme after this one. @param {Theme} theme @returns {Theme} */
export function nextTheme(theme) {
  return THEMES[(THEMES.indexOf(theme) + 1) % THEMES.length];
}

/** What one tap on the switch chooses; back at what stands here by itself, the choice ends. @param {ThemeChoice | null} choice
 * @param {import("./router.js").Route} route @returns {ThemeChoice} */
export function switched(choice, route) {
  const next = nextTheme(themeOf(choice, route));
  return next === byItself(route) ? "by_stage" : next;
}

/** @param {() => void} changed called when the device is set otherwise */
export function watchDevice(changed) {
  for (const query of [dark, strong]) query.addEventListener("change", changed);
}

/** @param {ThemeChoice | null} choice @param {import("./router.js").Route} route */
export function applyTheme(choice, route) {
  const root = document.documentElement;
  Object.assign(root.dataset, { theme: themeOf(choice, route), room: inTheatre(route) ? "theatre" : "clinic" });
  const ground = getComputedStyle(root).getPropertyValue("--ground").trim();
  document.querySelector('meta[name="theme-color"]')?.setAttribute("content", ground);
}
