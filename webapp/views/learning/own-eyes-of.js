/** The surgeon's own eyes beside one eye: learned once, learned again when another eye changes. */
import { DEFAULT_FORMULA, learnedSurgeon } from "../../store/own-eyes.js";
import { t } from "../../words/words.js";

/** @typedef {import("../../store/store.js").Store} Store */
/** @typedef {import("../stage/live-answer.js").LiveAnswer} LiveAnswer */

const OWN_EYES = t.learning.ownEyes;

export class OwnEyesOf {
  /**
   * @param {import("lit").LitElement} host redrawn, as if its case had changed, when something was learned
   * @param {LiveAnswer[]} answers out of date while it is being learned
   * @param {{asOfSurgery?: boolean}} [options] learn only from what was known on the day of surgery
   */
  constructor(host, answers, { asOfSurgery = false } = {}) {
    this.host = host;
    this.answers = answers;
    this.asOfSurgery = asOfSurgery;
    /** @type {any} undefined until it is known, null when no eye teaches */
    this.surgeon = undefined;
    /** Why the own eyes could not be read; the plan is then made without them. */
    this.fault = "";
    this.key = "";
    this.turn = 0;
    /** @type {Store | null} */
    this.store = null;
    /** @type {Record<string, any> | null} */
    this.record = null;
    this.changed = (/** @type {Event} */ event) => this.heard(/** @type {CustomEvent} */ (event).detail.code);
    host.addController(this);
  }

  hostDisconnected() {
    this.store?.removeEventListener("change", this.changed);
    this.store = null;
  }

  /** @param {Store | null} store @param {Record<string, any>} record */
  follow(store, record) {
    this.record = record;
    if (store && store !== this.store) {
      this.store?.removeEventListener("change", this.changed);
      this.store = store;
      store.addEventListener("change", this.changed);
    }
    const key = [record.code, this.formula, this.asOf].join(" ");
    if (key === this.key) return;
    this.key = key;
    void this.learn();
  }

  get formula() {
    return this.record?.plan?.formula ?? DEFAULT_FORMULA;
  }

  get asOf() {
    return this.asOfSurgery ? this.record?.surgery_on ?? null : null;
  }

  /** The eye at hand never teaches itself, so its own changes move nothing. @param {string} code */
  heard(code) {
    if (code !== this.record?.code) void this.learn();
  }

  async learn() {
    const turn = ++this.turn;
    for (const answer of this.answers) answer.typed(OWN_EYES, true);
    let found = null;
    let fault = "";
    try {
      if (this.store && this.record) found = await learnedSurgeon(this.store, { formula: this.formula, without: this.record.code, asOf: this.asOf });
    } catch (reason) {
      fault = String(/** @type {Error} */ (reason).message ?? reason);
    }
    if (turn !== this.turn) return;
    this.surgeon = found;
    this.fault = fault;
    for (const answer of this.answers) answer.typed(OWN_EYES, false);
    this.host.requestUpdate("case");
  }

  /** Whether an answer can be asked for, and with what. */
  get known() {
    return this.surgeon !== undefined && this.surgeonFits;
  }

  /** A surgeon learned for another formula waits to be learned again. */
  get surgeonFits() {
    return this.surgeon === null || this.surgeon?.formula === this.formula;
  }

  /** What a request on this eye starts from. */
  get start() {
    return this.surgeon?.eyes ? { surgeon: this.surgeon } : {};
  }
}
