import { t } from "./words.js";

/** "right" or "left" inside a sentence; nothing for an eye that is not chosen. @param {string | null | undefined} eye */
export function side(eye) {
  if (eye === "right") return t.elements.rightSide;
  return eye === "left" ? t.elements.leftSide : "";
}
