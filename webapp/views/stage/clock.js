/** Clock hours in a sentence: "9" alone could be a length. */
import { t } from "../../words/words.js";

/** @typedef {{a: string, b: string}} Clocks */

/** @param {string} clock @returns {string} */
export function spoken(clock) {
  return clock.includes(":") ? clock : t.stage.clockHour(clock);
}

/**
 * The haptics' names: by clock hour, and before the meridian is known by order.
 * @param {Clocks | null | undefined} clocks @returns {Clocks}
 */
export function hapticNames(clocks) {
  if (!clocks) return { a: t.stage.firstHaptic, b: t.stage.secondHaptic };
  return { a: spoken(clocks.a), b: spoken(clocks.b) };
}
