// Where the surgeon was: the screen and how far down it, so that a killed app opens there again.

/** @typedef {import("./store.js").Store} Store */
/** @typedef {{hash: string, scroll: number}} Place */

const PAUSE_MS = 150;

export class PlaceMemory {
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #timer;

  /** @param {Store} store */
  constructor(store) {
    this.store = store;
  }

  /** @returns {Promise<Place | null>} */
  recall() {
    return this.store.preference("place");
  }

  /** @param {string} hash @param {number} scroll */
  remember(hash, scroll) {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => this.store.preference("place", { hash, scroll }).catch(() => {}), PAUSE_MS);
  }
}
