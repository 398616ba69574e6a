/** Three screens of a new reading: where the haptics are, what was read, and the eye during it. */
import { html, nothing } from "lit";
import { plain } from "../../elements/format.js";
import { wordFor } from "../stage/fields.js";
import { localAxis, localChoice, localFlag, localNumber } from "../stage/local-inputs.js";
import { cylinderHint } from "../stage/typed-refraction.js";
import { lacking } from "./form.js";
import { t } from "../../words/words.js";

/** @typedef {import("./theatre-view.js").TheatreView} TheatreView */

const MOVED = { yes: t.theatre.moved, no: t.theatre.nothingMoved };
const WRITTEN = { equivalent: t.theatre.sphericalEquivalent, cylinder: t.theatre.sphereCylinder };
const HELD = { held: t.hands.asHeld, net: t.hands.asNet };

/** @param {TheatreView} view */
export function whereStep(view) {
  const form = view.reading.values;
  return html`
    ${view.isFirst ? nothing : localChoice(view, view.reading, "moved", { label: t.theatre.sinceLastReading, options: MOVED,
      hint: t.theatre.pullingOneHapticDraws })}
    ${localChoice(view, view.reading, "length_basis")}
    ${form.length_basis === "measured" ? lengths(view) : nothing}
    ${form.length_basis && form.length_basis !== "measured"
      ? html`<gl-banner kind="caution">${t.theatre.lengthThenAssumedNot}</gl-banner>` : nothing}
    ${removedNote(view)} ${todo(view, "where")}`;
}

/** @param {TheatreView} view */
function lengths(view) {
  const { a, b } = view.clocks;
  return html`<div class="fields">
      ${localNumber(view, view.reading, "outside_a_mm", { field: "outside_now_mm", label: t.theatre.outsideNow2(a) })}
      ${localNumber(view, view.reading, "outside_b_mm", { field: "outside_now_mm", label: t.theatre.outsideNow3(b) })}
    </div><p class="hint">${t.theatre.alongHapticFromScleral}</p>`;
}

/** @param {TheatreView} view */
function removedNote(view) {
  const { a, b } = view.clocks;
  const { removed } = view;
  if (removed.a === 0 && removed.b === 0) return html`<p class="hint">${t.theatre.nothingRemovedSoFar}</p>`;
  return html`<p class="hint">${t.theatre.removedSoFarFrom(a, plain(removed.a, "removed_mm"), b, plain(removed.b, "removed_mm"))}</p>`;
}

/** @param {TheatreView} view */
export function valueStep(view) {
  return html`
    ${asLastTime(view, "reading") ? said(view, "reading", t.hands.howRead, howRead(view)) : how(view)}
    ${values(view)} ${todo(view, "reading")}`;
}

/** The instrument and how its answer is written; a retinoscope's lenses as held, or net. @param {TheatreView} view */
function how(view) {
  const retinoscope = view.reading.values.instrument === "retinoscope";
  const written = retinoscope ? { ...WRITTEN, meridians: t.hands.meridians } : WRITTEN;
  return html`${localChoice(view, view.reading, "instrument")} ${retinoscope ? distance(view) : nothing}
    ${localChoice(view, view.reading, "form", { label: t.theatre.writtenAs, options: written })}`;
}

/** @param {TheatreView} view */
function distance(view) {
  const held = view.reading.values.held === "held";
  return html`${localChoice(view, view.reading, "held", { field: "instrument", label: t.hands.distanceAsk, options: HELD })}
    <div class="fields">${held ? localNumber(view, view.reading, "working_distance_m") : nothing}
      ${localNumber(view, view.reading, "vertex_mm", { hint: t.hands.vertexHint })}</div>`;
}

/** @param {TheatreView} view */
function values(view) {
  const { form } = view.reading.values;
  if (form === "equivalent") return localNumber(view, view.reading, "refraction_d", { label: t.theatre.sphericalEquivalent });
  if (form === "meridians") return html`
    ${localNumber(view, view.reading, "meridian_1_d", { field: "refraction_d", label: t.hands.firstMeridian })}
    ${localNumber(view, view.reading, "meridian_2_d", { field: "refraction_d", label: t.hands.secondMeridian })}`;
  if (form !== "cylinder") return nothing;
  return html`
    ${localNumber(view, view.reading, "sphere_d")}
    ${localNumber(view, view.reading, "cylinder_d", { field: "cylinder_entered_d", hint: cylinderHint() })}
    ${localAxis(view, view.reading, "axis_deg")} ${view.typed.render()}`;
}

/** @param {TheatreView} view @returns {string} */
function howRead(view) {
  const { instrument, form, held, working_distance_m } = view.reading.values;
  const net = held === "held" ? t.hands.held(plain(working_distance_m, "working_distance_m")) : t.hands.net;
  const written = form === "meridians" ? t.hands.meridians : WRITTEN[/** @type {"equivalent" | "cylinder"} */ (form)];
  return [wordFor("instrument", instrument), ...(instrument === "retinoscope" ? [net] : []), written].join(", ");
}

/** @param {TheatreView} view */
export function eyeStep(view) {
  const { infusion, fill, iridectomy_done } = view.reading.values;
  const open = iridectomy_done ? t.hands.iridectomyOpen : t.hands.iridectomyNot;
  const words = [`${wordFor("infusion", infusion)}`, wordFor("fill", fill), open].join(", ");
  return html`
    ${localNumber(view, view.reading, "iop_mmhg")}
    ${asLastTime(view, "eye") ? said(view, "eye", t.hands.circumstances, words) : html`
      ${localChoice(view, view.reading, "infusion")} ${localChoice(view, view.reading, "fill")} ${localFlag(view, view.reading, "iridectomy_done")}`}
    ${todo(view, "eye")}
    ${view.reading.fault ? html`<gl-banner kind="stop">${view.reading.fault}</gl-banner>` : nothing}`;
}

/** What was answered at the last reading and stands here again, unless it is to be changed. @param {TheatreView} view @param {"reading" | "eye"} step */
function asLastTime(view, step) {
  return view.reading.values[`as_last_${step}`] === true;
}

/** Shown as words, read aloud with the rest, with one key to change it. @param {TheatreView} view @param {"reading" | "eye"} step @param {string} label @param {string} words */
function said(view, step, label, words) {
  return html`<div class="said" data-said=${step}><p><small>${label}, ${t.hands.asLastTime}</small><strong>${words}</strong></p>
    <button type="button" @click=${() => view.reading.set({ [`as_last_${step}`]: false })}>${t.hands.change}</button></div>`;
}

/** @param {TheatreView} view @param {string} step */
function todo(view, step) {
  const left = lacking(view.reading.values, step, view.isFirst, view.typed.minus);
  return left.length === 0 ? nothing : html`<p class="hint" role="status">${t.theatre.stillEnter(left.join(", "))}</p>`;
}
