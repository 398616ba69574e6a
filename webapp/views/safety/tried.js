import { words } from "../../store/errors.js";

/**
 * Runs one action of a card: busy while it lasts, its reason in `fault` when it fails.
 * @param {{busy: string, fault: string}} card @param {string} busy @param {() => Promise<void>} work
 */
export async function tried(card, busy, work) {
  if (card.busy) return;
  card.fault = "";
  card.busy = busy;
  try {
    await work();
  } catch (reason) {
    card.fault = words(reason);
  } finally {
    card.busy = "";
  }
}
