// Light in the clinic, near-black in theatre, or always one of them.
import { t } from "../words/words.js";

/** @typedef {"by_stage" | "clinic" | "theatre"} ThemeChoice */

/** @type {Record<ThemeChoice, string>} */
export const THEME_WORDS = { by_stage: t.shell.darkTheatreOnly, clinic: t.shell.alwaysLight, theatre: t.shell.alwaysDark };

/** @param {ThemeChoice | null} choice @param {import("./router.js").Route} route */
export function applyTheme(choice, route) {
  const inTheatre = route.place === "eye" && route.stage === "theatre";
  const theme = !choice || choice === "by_stage" ? (inTheatre ? "theatre" : "clinic") : choice;
  document.documentElement.dataset.theme = theme;
  const ground = getComputedStyle(document.documentElement).getPropertyValue("--ground").trim();
  document.querySelector('meta[name="theme-color"]')?.setAttribute("content", ground);
}
