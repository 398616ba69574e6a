/** What is left to do when no cut helps, by the reason the core gives. */
import { t } from "../../words/words.js";

/** @type {Record<string, string>} */
const WORDS = {
  one_flanged: t.theatre.oneFlangeMadeCentre,
  leave: t.theatre.leaveBothFlangesAs,
  buried: t.theatre.bothFlangesBuriedNothing,
};

/** @param {{reason?: string | null}} advice @returns {string} */
export function nothingToCut({ reason }) {
  return WORDS[reason ?? ""] ?? t.theatre.noUsefulAdjustmentCentre;
}
