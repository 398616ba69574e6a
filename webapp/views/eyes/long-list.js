import { LitElement, html, nothing } from "lit";
import { repeat } from "lit/directives/repeat.js";
import { t } from "../../words/words.js";

/** Rows drawn at once in a short list; a longer one draws a window of rows around the screen. */
const SHORT = 60;
/** The window moves in steps of so many rows and reaches a screen's height beyond the edges. */
const STEP = 10;
const FIRST_GUESS_PX = 110;

/**
 * A list of any length in which only the rows near the screen exist. Every row carries its place
 * and the length of the whole for screen readers; the keyboard reaches the rows as it goes, and
 * whoever has the focus stays drawn. Give it `rows`, `keyOf(row)` and `drawRow(row)`; it draws in
 * the tree it stands in, so the rows are styled there.
 */
export class LongList extends LitElement {
  static properties = { rows: { attribute: false }, keyOf: { attribute: false }, drawRow: { attribute: false },
    from: { state: true }, to: { state: true } };

  constructor() {
    super();
    /** @type {unknown[]} */
    this.rows = [];
    /** @type {(row: any) => string} */
    this.keyOf = String;
    /** @type {(row: any) => unknown} */
    this.drawRow = () => nothing;
    this.from = 0;
    this.to = SHORT;
    this.rowPx = FIRST_GUESS_PX;
    this.measured = false;
    this.waiting = false;
    this.moved = () => this.soon();
    this.resized = () => {
      this.measured = false;
      this.requestUpdate();
      this.soon();
    };
  }

  createRenderRoot() {
    return this;
  }

  connectedCallback() {
    super.connectedCallback();
    // A scroll does not bubble; on its way down every scrolling ancestor's is heard.
    document.addEventListener("scroll", this.moved, { capture: true, passive: true });
    window.addEventListener("resize", this.resized);
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    document.removeEventListener("scroll", this.moved, { capture: true });
    window.removeEventListener("resize", this.resized);
  }

  /** @param {Map<string, unknown>} changed */
  updated(changed) {
    this.measure();
    if (changed.has("rows")) this.look();
  }

  soon() {
    if (this.waiting || this.rows.length <= SHORT) return;
    this.waiting = true;
    requestAnimationFrame(() => {
      this.waiting = false;
      this.look();
    });
  }

  /** The height of one row with its gap, from those that are drawn; once, so that nothing jumps. */
  measure() {
    const items = this.querySelectorAll("li[aria-posinset]");
    if (this.measured || items.length < 2 || this.rows.length <= SHORT) return;
    this.measured = true;
    const first = items[0].getBoundingClientRect();
    const last = items[items.length - 1].getBoundingClientRect();
    const px = (last.top - first.top) / (items.length - 1);
    if (px > 0) this.rowPx = px;
  }

  /** Which rows are near the screen. */
  look() {
    const count = this.rows.length;
    if (count <= SHORT) {
      [this.from, this.to] = [0, count];
      return;
    }
    const above = -this.getBoundingClientRect().top / this.rowPx;
    const screen = window.innerHeight / this.rowPx;
    this.from = within(Math.floor((above - screen) / STEP) * STEP, count);
    this.to = within(Math.ceil((above + 2 * screen) / STEP) * STEP, count);
  }

  /** Rows of the window, and the one that has the focus. */
  get drawn() {
    const places = new Set();
    for (let place = this.from; place < Math.min(this.to, this.rows.length); place += 1) places.add(place);
    const focused = this.focusedKey;
    const place = focused === null ? -1 : this.rows.findIndex((row) => this.keyOf(row) === focused);
    if (place >= 0) places.add(place);
    return [...places].sort((a, b) => a - b);
  }

  get focusedKey() {
    const root = /** @type {ShadowRoot | Document} */ (this.getRootNode());
    const item = root.activeElement?.closest("li");
    return item && this.contains(item) ? item.dataset.key ?? null : null;
  }

  /** What is drawn, in order: rows by their place, and gaps by how many rows they stand for. */
  get parts() {
    /** @type {{key: string, place: number, skipped: number}[]} */
    const parts = [];
    let next = 0;
    for (const place of [...this.drawn, this.rows.length]) {
      if (place > next) parts.push({ key: t.eyes.gapBefore(place), place: -1, skipped: place - next });
      if (place < this.rows.length) parts.push({ key: this.keyOf(this.rows[place]), place, skipped: 0 });
      next = place + 1;
    }
    return parts;
  }

  render() {
    // By key: an element that has the focus never becomes another row's.
    return html`<ul role="list">${repeat(this.parts, ({ key }) => key, (part) => (part.skipped ? this.renderGap(part.skipped) : this.renderItem(part)))}</ul>`;
  }

  /** @param {{key: string, place: number}} part */
  renderItem({ key, place }) {
    return html`<li data-key=${key} aria-setsize=${this.rows.length} aria-posinset=${place + 1}>${this.drawRow(this.rows[place])}</li>`;
  }

  /** @param {number} count rows that are not drawn */
  renderGap(count) {
    return html`<li role="presentation" .style=${`height: calc(${Math.round(count * this.rowPx)}px - var(--gap-2))`}></li>`;
  }
}

/** @param {number} place @param {number} count */
function within(place, count) {
  return Math.min(Math.max(place, 0), count);
}

customElements.define("gl-long-list", LongList);
