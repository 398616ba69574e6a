// Which eye this window has open, and whether another window has the same one open. Told by Web Locks,
// which the browser itself gives back when a window dies.

const PREFIX = "guyline-eye-";

export class Presence extends EventTarget {
  /** @type {string | null} */
  code = null;
  /** True while another window has the same eye open. */
  shared = false;
  #channel = "BroadcastChannel" in globalThis ? new BroadcastChannel("guyline-presence") : null;
  /** Gives the lock back. @type {() => Promise<unknown>} */
  #leave = () => Promise.resolve();
  /** @type {Promise<void>} */
  #turn = Promise.resolve();

  constructor() {
    super();
    this.#channel?.addEventListener("message", ({ data }) => { if (data.code === this.code) void this.look(); });
    document.addEventListener("visibilitychange", () => { void this.look(); });
  }

  /** One move after the other. @param {string | null} code null when no eye is open @returns {Promise<void>} */
  open(code) {
    this.#turn = this.#turn.then(() => this.#move(code)).catch(() => {});
    return this.#turn;
  }

  /** @param {string | null} code */
  async #move(code) {
    if (code === this.code) return;
    const before = this.code;
    this.code = code;
    this.#set(false);
    await this.#leave();
    if (code) await this.#hold(code);
    for (const one of [before, code]) if (one) this.#channel?.postMessage({ code: one });
    await this.look();
  }

  /** @param {string} code @returns {Promise<void>} */
  #hold(code) {
    if (!navigator.locks) return Promise.resolve();
    return new Promise((held) => {
      const whole = navigator.locks.request(PREFIX + code, { mode: "shared" }, () => {
        held();
        return new Promise((leave) => { this.#leave = async () => { leave(undefined); await whole; }; });
      });
    });
  }

  /** Count the windows that have this eye open. */
  async look() {
    const { code } = this;
    if (!code || !navigator.locks) return;
    const { held = [] } = await navigator.locks.query();
    if (code === this.code) this.#set(held.filter((one) => one.name === PREFIX + code).length > 1);
  }

  /** @param {boolean} shared */
  #set(shared) {
    if (shared === this.shared) return;
    this.shared = shared;
    this.dispatchEvent(new Event("change"));
  }
}

export const presence = new Presence();
