import { LitElement, html, nothing } from "lit";
import { activeField, keypadLink } from "../elements/keypad-link.js";
import { notation } from "../elements/notation.js";
import "../elements/all.js";
import { words } from "../store/errors.js";
import { IdleLock } from "../store/idle.js";
import { PlaceMemory } from "../store/place.js";
import { presence } from "../store/presence.js";
import { shellStyles } from "./shell-styles.js";
import { STAGES, STAGE_NAMES, eyeAddress, routeOf } from "./router.js";
import { applyTheme, switched, themeOf, watchDevice } from "./theme.js";
import "./theme-switch.js";
import { changeWords, undoneWords } from "./change-words.js";
import "./status-line.js";
import "./eye-screen.js";
import "./eyes/eyes-view.js";
import "./eyes/new-eye.js";
import "./box/box-view.js";
import "./results/results-view.js";
import "./export/export-view.js";
import "./import/import-view.js";
import "./setup/setup-view.js";
import "./setup/glossary-view.js";
import "./setup/libraries-view.js";
import "./learning/learning-view.js";
import "./start/start-cards.js";
import "./safety/lock-screen.js";
import { eyeNotices } from "./safety/eye-notices.js";
import { t } from "../words/words.js";
import { whyNotNow } from "./safety/at-rest.js";
import { offline } from "../store/offline.js";

/** @typedef {import("../store/store.js").Case} Case */
/** @typedef {import("../store/store.js").Store} Store */
/** @typedef {import("./router.js").Route} Route */

const NAVIGATION = [
  { hash: "#/eyes", word: t.shell.eyes, places: ["eyes", "new", "eye"] },
  { hash: "#/box", word: t.shell.box, places: ["box"] },
  { hash: "#/results", word: t.shell.results, places: ["results"] },
  { hash: "#/export", word: t.shell.export, places: ["export", "import"] },
  { hash: "#/setup", word: t.shell.setup, places: ["setup", "glossary", "learning", "libraries", "start"] },
];

const ARRIVING_MS = 150;

/** The frame around every screen. `start(store)` opens where the surgeon was. */
export class Shell extends LitElement {
  static properties = {
    route: { state: true },
    record: { state: true },
    drafts: { state: true },
    missing: { state: true },
    damaged: { state: true },
    unread: { state: true },
    locked: { state: true },
    trouble: { state: true },
    said: { state: true },
    canUndo: { state: true },
    typing: { state: true },
    theme: { state: true },
  };

  static styles = shellStyles;

  constructor() {
    super();
    /** @type {Store | null} */
    this.store = null;
    /** @type {PlaceMemory | null} */
    this.memory = null;
    /** @type {Route} */
    this.route = routeOf(location.hash);
    /** @type {Case | null} */
    this.record = null;
    /** @type {Record<string, string>} */
    this.drafts = {};
    this.missing = "";
    /** @type {import("../store/store.js").Damaged | null} */
    this.damaged = null;
    /** Why the eye of this place could not be read now. */
    this.unread = "";
    this.locked = false;
    this.trouble = "";
    this.said = "";
    this.canUndo = false;
    this.typing = false;
    this.turn = 0;
    /** How often something was saved. */
    this.saves = 0;
    /** @type {import("./theme.js").ThemeChoice | null} */
    this.theme = null;
    keypadLink.addEventListener("change", () => { this.typing = activeField() !== null; });
    window.addEventListener("hashchange", () => this.go());
    presence.addEventListener("change", () => this.requestUpdate());
    watchDevice(() => this.requestUpdate());
  }

  /** @param {Store} store */
  async start(store) {
    this.store = store;
    this.memory = new PlaceMemory(store);
    store.addEventListener("change", (event) => this.changed(/** @type {CustomEvent} */ (event).detail));
    store.addEventListener("not-saved", (event) => { this.trouble = /** @type {CustomEvent} */ (event).detail.why; });
    store.addEventListener("saved", () => { if (!store.failures.size) this.trouble = ""; });
    this.theme = await store.preference("theme");
    notation.use(await store.preference("notation"));
    this.guard(store);
    if (store.locked) await new Promise((opened) => store.addEventListener("unlocked", opened, { once: true }));
    const place = await this.memory.recall();
    const scroll = place && (!location.hash || location.hash === place.hash) ? place.scroll : 0;
    if (!location.hash && place) history.replaceState(null, "", place.hash);
    await this.go();
    offline.guard = () => whyNotNow(store, () => this.route);
    this.comeBackTo(scroll);
  }

  /** The lock: nothing of an eye stays on the screen behind it. @param {Store} store */
  guard(store) {
    this.locked = store.locked;
    store.addEventListener("locked", () => { Object.assign(this, { locked: true, record: null, drafts: {}, damaged: null, unread: "", said: "" }); });
    store.addEventListener("unlocked", () => { this.locked = false; void this.go(); });
    store.addEventListener("moved", () => {
      if (store.quiet) location.reload();
      else this.trouble = t.shell.passphraseWasSetRemoved;
    });
    store.mayLock = () => !this.inTheatre;
    const idle = new IdleLock(store, () => this.inTheatre);
    this.addEventListener("idle-chosen", (event) => { idle.minutes = /** @type {CustomEvent} */ (event).detail.minutes; });
    void idle.start();
  }

  /** @param {number} top */
  async comeBackTo(top) {
    await this.updateComplete;
    const main = this.renderRoot.querySelector("main");
    if (!main || !top) return;
    // The screen grows while its answers arrive: hold the place until it is tall enough, or touched.
    const settle = () => main.scrollTo({ top });
    const watcher = new ResizeObserver(settle);
    if (main.firstElementChild) watcher.observe(main.firstElementChild);
    const stop = () => watcher.disconnect();
    for (const name of ["pointerdown", "wheel", "keydown"]) main.addEventListener(name, stop, { once: true });
    setTimeout(stop, 3000);
    settle();
  }

  async go() {
    const turn = ++this.turn;
    const route = routeOf(location.hash);
    if (this.store?.locked) return;
    const found = await this.newest(route);
    if (turn !== this.turn) return;
    void presence.open(route.place === "eye" ? route.code : null);
    const moved = !sameRoute(route, this.route);
    if (moved) this.said = "";
    Object.assign(this, found, { route });
    if (moved) this.arrive();
    this.remember();
  }

  /** A new screen starts at its top, and the end of the tap that led here touches nothing on it. */
  arrive() {
    const main = this.renderRoot.querySelector("main");
    main?.scrollTo({ top: 0 });
    main?.classList.add("arriving");
    setTimeout(() => main?.classList.remove("arriving"), ARRIVING_MS);
  }

  /** The eye of a place, with what was typed into it; all are put on the screen at once. @param {Route} route */
  async found(route) {
    const nothingHere = { record: null, drafts: {}, missing: "", damaged: null, unread: "" };
    const { store } = this;
    if (route.place !== "eye" || !store) return nothingHere;
    try {
      const [record, drafts] = await Promise.all([store.read(route.code), store.drafts(route.code)]);
      return record ? { ...nothingHere, record, drafts } : { ...nothingHere, missing: route.code };
    } catch (reason) {
      const damaged = (await store.damaged().catch(() => [])).find(({ code }) => code === route.code);
      return damaged ? { ...nothingHere, damaged } : { ...nothingHere, unread: words(reason) };
    }
  }

  /** As `found`, and read again if anything was saved meanwhile: an older record never covers a newer one. @param {Route} route */
  async newest(route) {
    let found = null;
    for (let seen = -1; seen !== this.saves;) {
      await this.store?.settled();
      seen = this.saves;
      found = await this.found(route);
    }
    return found;
  }

  /** A late answer for an eye that is no longer on the screen is left alone. @param {Case | null} record */
  take(record) {
    if (record && this.route.place === "eye" && record.code === this.route.code) this.record = record;
  }

  /** @param {{code: string, elsewhere: boolean}} detail */
  async changed({ code, elsewhere }) {
    this.saves += 1;
    if (this.route.place !== "eye" || this.route.code !== code || !this.store) return;
    if (elsewhere) {
      await this.changedElsewhere();
      this.said = t.shell.changedAnotherWindowScreen;
      this.canUndo = false;
      return;
    }
    await this.announce(code).catch(() => { Object.assign(this, { said: t.shell.saved2, canUndo: false }); });
  }

  /** What another window made of this eye; while it cannot be read, the screen stays as it is. */
  async changedElsewhere() {
    const { route } = this;
    const { record, missing } = await this.found(route);
    if (!sameRoute(route, this.route)) return;
    if (record) this.record = record;
    if (missing) Object.assign(this, { record: null, missing });
  }

  /** Says what was saved and whether it can be taken back. @param {string} code */
  async announce(code) {
    const store = /** @type {Store} */ (this.store);
    const last = (await store.log(code)).at(-1);
    if (!last) return;
    const undone = last.undoes ? (await store.log(code)).find((entry) => entry.id === last.undoes) : null;
    this.said = undone ? undoneWords(undone) : changeWords(last);
    this.canUndo = !undone && (await store.undoable(code))?.id === last.id;
  }

  async undo() {
    if (this.route.place !== "eye" || !this.store) return;
    try {
      this.take(await this.store.undo(this.route.code));
    } catch (reason) {
      this.said = String(/** @type {Error} */ (reason).message);
    }
  }

  remember() {
    this.memory?.remember(location.hash, this.renderRoot.querySelector("main")?.scrollTop ?? 0);
  }

  /** @param {import("./theme.js").ThemeChoice} theme */
  async wear(theme) {
    this.theme = theme;
    await this.keep("theme", theme);
  }

  /** @param {CustomEvent} event */
  async written({ detail }) {
    notation.use(detail.settings);
    await this.keep("notation", detail.settings);
  }

  /** What was chosen for every eye; that it is not kept is said. @param {string} name @param {unknown} value */
  async keep(name, value) {
    try {
      await this.store?.preference(name, value);
    } catch (reason) {
      this.trouble = String(/** @type {Error} */ (reason).message);
    }
  }

  updated() {
    applyTheme(this.theme, this.route);
    this.toggleAttribute("theatre", this.inTheatre);
    document.title = this.record ? `${this.record.code} · Guyline` : "Guyline";
  }

  render() {
    if (!this.store) return html`<main><p class="soft" role="status">${t.shell.openingYourEyes}</p></main>`;
    if (this.locked) return html`<main><div class="page"><gl-lock-screen .store=${this.store}></gl-lock-screen></div></main>`;
    return html`
      <header class=${this.route.place === "eye" ? "of-eye" : ""} @theme-switched=${() => this.wear(switched(this.theme, this.route))}>${this.route.place === "eye" ? this.renderEyeHead() : nothing}
        <div class="state"><gl-status-line ?quiet=${this.route.place === "eye"} ?hidden=${this.typing && !this.trouble} .trouble=${this.trouble}></gl-status-line>
          ${this.route.place === "eye" && this.record ? nothing : this.renderSwitch()}</div></header>
      <main @scroll=${this.remember} @eye-changed=${(/** @type {CustomEvent} */ e) => this.take(e.detail.record)}
        @eye-trouble=${(/** @type {CustomEvent} */ e) => { this.trouble = e.detail.message; }}
        @theme-chosen=${(/** @type {CustomEvent} */ e) => this.wear(e.detail.theme)} @notation-chosen=${this.written} @moved-on=${() => { this.said = ""; }}><div class="page ${this.route.place === "eye" ? "wide" : ""}">${this.renderPlace()}</div></main>
      <footer ?hidden=${this.typing}>
        ${this.route.place === "eye" ? html`<gl-undo .message=${this.said} .possible=${this.canUndo && this.said !== ""} @undo=${this.undo}></gl-undo>` : nothing}
        ${this.inTheatre ? nothing : this.renderNavigation()}</footer>
      <gl-keypad></gl-keypad>`;
  }

  /** In theatre the places give way: one link to the eyes stands with the stages. */
  get inTheatre() {
    return this.route.place === "eye" && this.route.stage === "theatre";
  }

  renderEyeHead() {
    if (!this.record) return nothing;
    const { code, eye, demo, imported } = this.record;
    return html`<div class="eye"><gl-eye .eye=${eye ?? null} .code=${code} ?demo=${Boolean(demo)} ?imported=${Boolean(imported)}></gl-eye>${this.renderSwitch()}</div>
      <nav class="stages" aria-label=${t.shell.stagesEye} ?hidden=${this.typing}>${this.inTheatre ? html`<a href="#/eyes">${t.hands.leaveTheatre}</a>` : nothing}${STAGES.map((stage) => html`<a href=${eyeAddress(code, stage)}
        aria-current=${this.route.place === "eye" && this.route.stage === stage ? "page" : nothing}>${STAGE_NAMES[stage]}</a>`)}</nav>`;
  }

  renderSwitch() {
    return html`<gl-theme-switch .theme=${themeOf(this.theme, this.route)} ?hidden=${this.typing}></gl-theme-switch>`;
  }

  renderNavigation() {
    return html`<nav class="places" aria-label=${t.shell.places}>${NAVIGATION.map(({ hash, word, places }) => html`<a href=${hash}
      aria-current=${places.includes(this.route.place) ? "page" : nothing}>${word}</a>`)}</nav>`;
  }

  renderPlace() {
    switch (this.route.place) {
      case "eye": return this.renderEye();
      case "new": return html`<gl-new-eye .store=${this.store}></gl-new-eye>`;
      case "box": return html`<gl-box-view .store=${this.store}></gl-box-view>`;
      case "results": return html`<gl-results-view .store=${this.store}></gl-results-view>`;
      case "export": return html`<gl-export-view .store=${this.store}></gl-export-view>`;
      case "import": return html`<gl-import-view .store=${this.store}></gl-import-view>`;
      case "setup": return html`<gl-setup-view .store=${this.store} .theme=${this.theme}></gl-setup-view>`;
      case "learning": return html`<gl-learning-view .store=${this.store}></gl-learning-view>`;
      case "start": return html`<gl-start-cards alone .store=${this.store}></gl-start-cards>`;
      case "libraries": return html`<gl-libraries-view></gl-libraries-view>`;
      case "glossary": return html`<gl-glossary-view></gl-glossary-view>`;
      default: return html`<gl-eyes-view .store=${this.store}></gl-eyes-view>`;
    }
  }

  renderEye() {
    if (this.missing) {
      return html`<gl-banner kind="caution" heading=${t.shell.notDevice}><p>${t.shell.thereNoEyeHere(this.missing)}</p>
        <p><a href="#/eyes">${t.shell.backEyes}</a></p></gl-banner>`;
    }
    if (this.unread) {
      return html`<gl-banner kind="stop" heading=${t.shell.eyeNotRead}><p>${this.unread} ${t.shell.nothingOfItChanged}</p>
        <button type="button" @click=${() => this.go()}>${t.shell.tryAgain}</button></gl-banner>`;
    }
    if (this.damaged) return html`<gl-damaged-eye .store=${this.store} .eye=${this.damaged}></gl-damaged-eye>`;
    const stage = this.route.place === "eye" ? this.route.stage : "plan";
    return html`${eyeNotices(this.record, presence.shared)}<gl-eye-screen .case=${this.record} .drafts=${this.drafts} .store=${this.store} .stage=${stage}></gl-eye-screen>`;
  }
}

/** @param {Route} first @param {Route} second */
function sameRoute(first, second) {
  return JSON.stringify(first) === JSON.stringify(second);
}

customElements.define("gl-shell", Shell);
