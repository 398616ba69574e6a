/** The lenses at hand, for a screen that asks the core with them: read once, followed from then on. */
import { boxOf } from "../../store/box.js";
import { today } from "../stage/records.js";

/** @typedef {import("../../store/store.js").Store} Store */
/** @typedef {import("../../store/box.js").Document} Document */

export class AtHand {
  /** @param {import("lit").LitElement & {store: Store | null}} host asked anew, as if its case had changed, when the box did */
  constructor(host) {
    this.host = host;
    /** Null until it was read. @type {Document | null} */
    this.content = null;
    /** Why it could not be read; screens then go on without it. */
    this.fault = "";
    this.changed = () => void this.load();
    host.addController(this);
  }

  get box() {
    return this.host.store ? boxOf(this.host.store) : null;
  }

  hostConnected() {
    this.box?.addEventListener("change", this.changed);
    void this.load();
  }

  hostDisconnected() {
    this.box?.removeEventListener("change", this.changed);
  }

  async load() {
    try {
      this.content = (await this.box?.read()) ?? { rows: [], used: [], past: [] };
    } catch (reason) {
      this.content = { rows: [], used: [], past: [] };
      this.fault = String(/** @type {Error} */ (reason).message);
    }
    this.host.requestUpdate("case");
  }

  /** What goes into a request; an empty box is none. */
  get request() {
    const rows = this.content?.rows ?? [];
    return rows.length ? { box: rows, today: today() } : {};
  }
}
