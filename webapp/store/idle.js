// Locks the records when nobody touches the phone for a while, but never in theatre: hands are gloved,
// and minutes without a touch are ordinary there.

const SIGNS = ["pointerdown", "keydown", "wheel", "touchstart"];
export const IDLE_MINUTES = [2, 5, 10, 30];
export const USUAL_MINUTES = 5;
const MINUTE_MS = 60_000;
const LOOK_MS = 1_000;

export class IdleLock {
  /** @type {ReturnType<typeof setInterval> | undefined} */
  #timer;
  minute_ms = MINUTE_MS;
  minutes = USUAL_MINUTES;

  /** @param {import("./store.js").Store} store @param {() => boolean} inTheatre */
  constructor(store, inTheatre) {
    this.store = store;
    this.inTheatre = inTheatre;
    this.touched = Date.now();
    this.touch = () => { this.touched = Date.now(); };
  }

  async start() {
    this.minutes = (await this.store.preference("idle")) ?? USUAL_MINUTES;
    for (const sign of SIGNS) window.addEventListener(sign, this.touch, { capture: true, passive: true });
    this.#timer = setInterval(() => { void this.look(); }, LOOK_MS);
  }

  stop() {
    clearInterval(this.#timer);
    for (const sign of SIGNS) window.removeEventListener(sign, this.touch, { capture: true });
  }

  async look() {
    if (!this.store.sealed || this.store.locked) return;
    if (this.inTheatre()) this.touch();
    else if (Date.now() - this.touched >= this.minutes * this.minute_ms) await this.store.lock();
  }
}
