// How the core is, for the screens: an EventTarget that fires "change".

/** @typedef {"starting" | "ready" | "failed"} State */
/** @typedef {"waiting" | "loading" | "ready" | "failed"} NumpyState */

/** @type {Record<State, string>} */
const SENTENCES = {
  starting: "Starting the calculations.",
  ready: "Calculations are ready.",
  failed: "Calculations could not start.",
};

export class CoreStatus extends EventTarget {
  /** @type {State} */
  state = "starting";
  /** @type {string | null} why it failed */
  why = null;
  /** @type {NumpyState} */
  numpy = "waiting";
  /** @type {string | null} why numpy could not be loaded */
  numpyWhy = null;
  /** @type {string | null} */
  build = null;

  /** @param {Partial<{state: State, why: string | null, numpy: NumpyState, numpyWhy: string | null, build: string | null}>} news */
  set(news) {
    Object.assign(this, news);
    this.dispatchEvent(new Event("change"));
  }

  get sentence() {
    return this.why ? `${SENTENCES[this.state]} ${this.why}` : SENTENCES[this.state];
  }
}
