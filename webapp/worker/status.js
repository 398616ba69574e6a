// How the core is, for the screens: an EventTarget that fires "change".
import { t } from "../words/words.js";

/** @typedef {"starting" | "ready" | "failed"} State */
/** @typedef {"waiting" | "loading" | "ready" | "failed"} NumpyState */

/** @type {Record<State, string>} */
const SENTENCES = {
  starting: t.worker.startingCalculations,
  ready: t.worker.calculationsReady,
  failed: t.worker.calculationsCouldNotStart,
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
  /** Bytes of Python's memory once numpy is there. @type {number | null} */
  heap = null;
  /** How it was started, "snapshot" or "plain", and why not from a snapshot that was there. */
  from = "plain";
  /** @type {string | null} */
  fromWhy = null;
  /** Steps of the start, ms since the worker began. @type {Record<string, number>} */
  steps = {};
  /** When the latest question came, and whether one is being answered. */
  askedAt = 0;
  busy = 0;

  /** @param {Partial<{state: State, why: string | null, numpy: NumpyState, numpyWhy: string | null, build: string | null,
   *   from: string, fromWhy: string | null, heap: number | null, steps: Record<string, number>}>} news */
  set(news) {
    Object.assign(this, news);
    this.dispatchEvent(new Event("change"));
  }

  /** A question has come: fires "asked". */
  note() {
    this.askedAt = performance.now();
    this.dispatchEvent(new Event("asked"));
  }

  get sentence() {
    return this.why ? `${SENTENCES[this.state]} ${this.why}` : SENTENCES[this.state];
  }
}
