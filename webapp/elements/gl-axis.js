import { css, html, nothing, svg } from "lit";
import { AXIS_POINTS } from "../contract.js";
import { EntryElement } from "./entry-element.js";
import { editable, fieldOf, plain } from "./format.js";
import { rich } from "../words/rich.js";
import { t } from "../words/words.js";
import { readNumber } from "./number-text.js";
import { buttons, shared } from "./shared-style.js";
import "./gl-number.js";

/** @typedef {import("./gl-number.js").GlNumber} GlNumber */

const POINTS = AXIS_POINTS;
/** The dial as a picture: its circle, its ticks and where its numbers stand. */
const RIM = 100;
const NUMBERS = [30, 60, 90, 120, 150, 180];
const TICKS = Array.from({ length: 18 }, (_, place) => (place + 1) * 10);
/** @type {Record<string, number>} */
const STEPS = { ArrowUp: 1, ArrowRight: 1, ArrowDown: -1, ArrowLeft: -1, PageUp: 10, PageDown: -10 };

/**
 * An axis or a meridian, typed or turned. The number field does the entering: everything it checks, asks
 * and saves holds for the dial. The dial opens on request, so that a hand that scrolls turns nothing.
 * Degrees are TABO, seen from in front of the patient, the same for both eyes.
 */
export class GlAxis extends EntryElement {
  static properties = { ...EntryElement.properties, open: { type: Boolean }, turned: { state: true } };

  static styles = [shared, buttons, css`
    :host { display: block; }
    .open { margin-top: var(--gap-2); }
    .dial { display: grid; grid-template-columns: minmax(0, 1fr); gap: var(--gap-2); justify-items: center; margin-top: var(--gap-2); padding: var(--gap-3);
      border: 1px solid var(--rule); border-radius: var(--round); background: var(--surface); }
    svg { display: block; width: 100%; max-width: min(20rem, 60vh); touch-action: none; cursor: pointer; user-select: none; -webkit-user-select: none; }
    svg:focus-visible { outline: 3px solid var(--focus); outline-offset: 2px; border-radius: var(--round); }
    .rim { fill: var(--sunken); stroke: var(--edge); stroke-width: 2; }
    .tick { stroke: var(--edge); stroke-width: 2; }
    text { fill: var(--ink); font: 700 17px/1 var(--face); text-anchor: middle; dominant-baseline: central; }
    .axis { stroke: var(--accent); stroke-width: 6; stroke-linecap: round; }
    .grip { fill: var(--accent); stroke: var(--surface); stroke-width: 3; }
    .shown { font-size: var(--text-value); font-weight: 700; }
    .row { display: flex; flex-wrap: wrap; gap: var(--gap-2); width: 100%; align-items: center; justify-content: space-between; }
    .row button { padding-inline: var(--gap-2); }
    .note { font-size: var(--text-small); color: var(--ink-soft); text-align: center; }
  `];

  constructor() {
    super();
    /** @type {number | null} */
    this.value = null;
    this.open = false;
    /** What the dial is being turned to. @type {number | null} */
    this.turned = null;
    this.turning = false;
    this.redraw = () => this.requestUpdate();
  }

  get box() {
    return /** @type {GlNumber | null} */ (this.renderRoot.querySelector("gl-number"));
  }

  focus() {
    this.box?.focus();
  }

  /** The whole degrees that the dial shows, or null while nothing is entered. 0 is written 180. */
  get shown() {
    if (this.turned !== null) return this.turned;
    const typed = readNumber(this.box?.text ?? "");
    const found = typed.state === "number" ? typed.value : this.value;
    if (found === null || found < 0 || found > POINTS.length) return null;
    return Math.round(found) || POINTS.length;
  }

  /** The degrees whose line runs nearest to the pointer. @param {PointerEvent} event @returns {number} */
  under({ clientX, clientY }) {
    const dial = /** @type {Element} */ (this.renderRoot.querySelector(".rim")).getBoundingClientRect();
    const across = clientX - (dial.left + dial.right) / 2;
    const down = clientY - (dial.top + dial.bottom) / 2;
    const along = POINTS.map(([x, y]) => Math.abs(x * across + y * down));
    return along.indexOf(Math.max(...along)) + 1;
  }

  /** @param {PointerEvent} event */
  grab(event) {
    if (this.disabled) return;
    event.preventDefault();
    const dial = /** @type {SVGElement} */ (event.currentTarget);
    dial.setPointerCapture(event.pointerId);
    dial.focus({ preventScroll: true });
    this.turning = true;
    this.turn(event);
    this.box?.tellDraft(this.text(this.turned));
  }

  /** @param {PointerEvent} event */
  turn(event) {
    if (this.turning) this.turned = this.under(event);
  }

  release() {
    if (!this.turning) return;
    this.turning = false;
    this.enter(/** @type {number} */ (this.turned));
    this.box?.settle();
  }

  cancel() {
    if (!this.turning) return;
    this.turning = false;
    this.turned = null;
    this.box?.discard();
  }

  /** Into the number field, as if typed. @param {number} degrees */
  enter(degrees) {
    this.turned = null;
    this.box?.type(this.text(degrees));
    this.requestUpdate();
  }

  /** @param {number | null} degrees @returns {string} */
  text(degrees) {
    return editable(degrees, this.field);
  }

  /** One step on; past 180 comes 1. From nothing the first step is 180. @param {number} steps */
  step(steps) {
    const now = this.shown;
    const count = POINTS.length;
    this.enter(now === null ? count : ((now + steps + count - 1) % count) + 1);
  }

  /** @param {KeyboardEvent} event */
  keyed(event) {
    const steps = STEPS[event.key];
    if (event.key === "Enter") this.box?.settle();
    else if (event.key === "Home") this.enter(1);
    else if (event.key === "End") this.enter(POINTS.length);
    else if (steps) this.step(steps);
    else return;
    event.preventDefault();
  }

  /** @param {number} steps */
  nudge(steps) {
    this.step(steps);
    this.box?.settle();
  }

  render() {
    return html`<gl-number field=${this.field} path=${this.path} label=${this.label || nothing} hint=${this.hint || nothing} ?local=${this.local}
        ?guided=${this.open} ?disabled=${this.disabled} .value=${this.value} .draft=${this.draft} @draft=${this.redraw} @commit=${this.redraw}></gl-number>
      <button type="button" class="quiet open" aria-expanded=${this.open ? "true" : "false"} @click=${() => { this.open = !this.open; }}>
        <span>${rich((this.open ? t.elements.closeDial : t.elements.turnDial)(this.name), { unseen: (words) => html`<span class="unseen">${words}</span>` })}</span></button>
      ${this.open ? this.renderDial() : nothing}`;
  }

  get name() {
    return this.label || fieldOf(this.field).label;
  }

  renderDial() {
    const { shown } = this;
    const words = shown === null ? t.elements.dialEmpty : t.elements.degrees(shown);
    return html`<div class="dial">
      <svg viewBox="-140 -130 280 242" role="slider" tabindex=${this.disabled ? "-1" : "0"} aria-label=${t.elements.dialOf(this.name)}
        aria-valuemin="1" aria-valuemax="180" aria-valuenow=${shown ?? 180} aria-valuetext=${words} aria-disabled=${this.disabled ? "true" : "false"}
        @pointerdown=${this.grab} @pointermove=${this.turn} @pointerup=${this.release} @pointercancel=${this.cancel}
        @keydown=${this.keyed} @blur=${() => this.box?.settle()}>${picture(shown)}</svg>
      <div class="row"><button type="button" aria-label=${t.elements.oneDegreeLess(this.name)} @click=${() => this.nudge(-1)}>−1°</button>
        <span class="shown" aria-hidden="true">${plain(shown, this.field)}</span>
        <button type="button" aria-label=${t.elements.oneDegreeMore(this.name)} @click=${() => this.nudge(1)}>+1°</button></div>
      <p class="note">${t.elements.dialSeenFromFront}</p></div>`;
  }
}

/** @param {number | null} shown */
function picture(shown) {
  return svg`<circle class="rim" r=${RIM}/>
    ${TICKS.map((degrees) => svg`${line(degrees, 0.9, 1, "tick")}${line(degrees, -0.9, -1, "tick")}`)}
    ${NUMBERS.map((degrees) => number(degrees))}<text x=${RIM * 1.2}>0</text>
    ${shown === null ? nothing : svg`${line(shown, -0.86, 0.86, "axis")}${grip(shown)}`}`;
}

/** A piece of the line of an axis, as parts of the circle. @param {number} degrees @param {number} from @param {number} to @param {string} name */
function line(degrees, from, to, name) {
  const [x, y] = POINTS[degrees - 1];
  return svg`<line class=${name} x1=${x * RIM * from} y1=${y * RIM * from} x2=${x * RIM * to} y2=${y * RIM * to}/>`;
}

/** @param {number} degrees */
function number(degrees) {
  const [x, y] = POINTS[degrees - 1];
  return svg`<text x=${x * RIM * 1.24} y=${y * RIM * 1.16}>${degrees}</text>`;
}

/** @param {number} degrees */
function grip(degrees) {
  const [x, y] = POINTS[degrees - 1];
  return svg`<circle class="grip" r="13" cx=${x * RIM * 0.86} cy=${y * RIM * 0.86}/>`;
}

customElements.define("gl-axis", GlAxis);
