import { LitElement, css, html, nothing } from "lit";
import { keyed } from "lit/directives/keyed.js";
import { shared } from "../elements/shared-style.js";
import { t } from "../words/words.js";

/** @typedef {import("../store/store.js").Case} Case */
/** @typedef {import("../store/store.js").Store} Store */
/** @typedef {import("./router.js").Stage} Stage */

/** The three stages and the sheet: the module that defines each, and its element. */
const VIEWS = {
  plan: { load: () => import("./plan/plan-view.js"), draw: drawPlan },
  theatre: { load: () => import("./theatre/theatre-view.js"), draw: drawTheatre },
  "follow-up": { load: () => import("./follow-up/follow-up-view.js"), draw: drawFollowUp },
  sheet: { load: () => import("./sheet/sheet-view.js"), draw: drawSheet },
};

/** @param {EyeScreen} screen */
function drawPlan(screen) {
  return html`<gl-plan-view .case=${screen.case} .drafts=${screen.drafts} .store=${screen.store}></gl-plan-view>`;
}

/** @param {EyeScreen} screen */
function drawTheatre(screen) {
  return html`<gl-theatre-view .case=${screen.case} .drafts=${screen.drafts} .store=${screen.store}></gl-theatre-view>`;
}

/** @param {EyeScreen} screen */
function drawFollowUp(screen) {
  return html`<gl-follow-up-view .case=${screen.case} .drafts=${screen.drafts} .store=${screen.store}></gl-follow-up-view>`;
}

/** @param {EyeScreen} screen */
function drawSheet(screen) {
  return html`<gl-sheet-view .case=${screen.case}></gl-sheet-view>`;
}

/**
 * One stage of one eye. Takes the view's events to the store with the code of the eye that it was
 * drawn for. Views are keyed by eye and stage: nothing is carried over from another eye.
 * Fires `eye-changed` {record} and `eye-said` {message}.
 */
export class EyeScreen extends LitElement {
  static properties = {
    case: { attribute: false },
    drafts: { attribute: false },
    store: { attribute: false },
    stage: { type: String },
    loaded: { state: true },
    fault: { state: true },
  };

  static styles = [shared, css`:host { display: block; }`];

  constructor() {
    super();
    /** @type {Case | null} */
    this.case = null;
    /** @type {Record<string, string>} */
    this.drafts = {};
    /** @type {Store | null} */
    this.store = null;
    /** @type {Stage} */
    this.stage = "plan";
    /** @type {Set<Stage>} */
    this.loaded = new Set();
    this.fault = "";
  }

  /** @param {import("lit").PropertyValues<this>} changed */
  willUpdate(changed) {
    if (changed.has("stage") && !this.loaded.has(this.stage)) this.load(this.stage);
  }

  /** @param {Stage} stage */
  async load(stage) {
    this.fault = "";
    try {
      await VIEWS[stage].load();
      this.loaded = new Set([...this.loaded, stage]);
    } catch (reason) {
      this.fault = String(/** @type {Error} */ (reason).message);
    }
  }

  /** @param {string} code @param {CustomEvent} event */
  commit(code, { detail }) {
    if (detail.local) return;
    delete this.drafts[detail.path];
    detail.saved = this.save(/** @type {Store} */ (this.store).commit(code, detail.path, detail.value));
  }

  /** @param {string} code @param {CustomEvent} event */
  appendEntry(code, { detail }) {
    const { path, entry, clear, also } = detail;
    for (const key of Object.keys(this.drafts)) if (clear && key.startsWith(clear)) delete this.drafts[key];
    detail.saved = this.save(/** @type {Store} */ (this.store).append(code, path, entry, { clear, also }));
  }

  /** @param {string} code @param {CustomEvent} event */
  draft(code, { detail: { path, text } }) {
    if (text === null) delete this.drafts[path];
    else this.drafts[path] = text;
    this.store?.draft(code, path, text).catch((reason) => {
      this.tell("eye-trouble", { message: String(reason.message ?? reason) });
    });
  }

  /** @param {Promise<Case>} change */
  save(change) {
    change.then((record) => this.tell("eye-changed", { record }), () => {});
    return change;
  }

  /** @param {string} name @param {object} detail */
  tell(name, detail) {
    this.dispatchEvent(new CustomEvent(name, { detail, bubbles: true, composed: true }));
  }

  render() {
    if (this.fault) {
      return html`<gl-banner kind="stop" heading=${t.shell.screenCouldNotLoaded}><p>${this.fault}</p>
        <p>${t.shell.openSetupCheckFiles}</p></gl-banner>`;
    }
    if (!this.case || !this.loaded.has(this.stage)) return html`<p class="soft" role="status">${t.shell.opening}</p>`;
    const { code } = this.case;
    return keyed(`${code} ${this.stage}`, html`<div
      @commit=${(/** @type {CustomEvent} */ event) => this.commit(code, event)}
      @append=${(/** @type {CustomEvent} */ event) => this.appendEntry(code, event)}
      @draft=${(/** @type {CustomEvent} */ event) => this.draft(code, event)}>${VIEWS[this.stage].draw(this) ?? nothing}</div>`);
  }
}

customElements.define("gl-eye-screen", EyeScreen);
