/** What is left to do when no cut helps, by the reason the core gives. */

/** @type {Record<string, string>} */
const WORDS = {
  one_flanged: "One flange is made: centre the lens with the other haptic",
  leave: "Leave both flanges as they are",
  buried: "Both flanges are buried: nothing left to adjust",
};

/** @param {{reason?: string | null}} advice @returns {string} */
export function nothingToCut({ reason }) {
  return WORDS[reason ?? ""] ?? "No useful adjustment: centre and flange";
}
