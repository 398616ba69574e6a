/** The three screens of a new reading: where, what, and the eye during it. */
import { html, nothing } from "lit";
import { plain } from "../../elements/format.js";
import { localAxis, localChoice, localFlag, localNumber } from "../stage/local-inputs.js";
import { cylinderHint } from "../stage/typed-refraction.js";
import { lacking } from "./form.js";
import { t } from "../../words/words.js";

/** @typedef {import("./theatre-view.js").TheatreView} TheatreView */

const MOVED = { yes: t.theatre.moved, no: t.theatre.nothingMoved };
const WRITTEN = { equivalent: t.theatre.sphericalEquivalent, cylinder: t.theatre.sphereCylinder };

/** @param {TheatreView} view */
export function whereStep(view) {
  const form = view.reading.values;
  const { a, b } = view.clocks;
  return html`
    ${view.isFirst ? nothing : localChoice(view, view.reading, "moved", { label: t.theatre.sinceLastReading, options: MOVED,
      hint: t.theatre.pullingOneHapticDraws })}
    ${localChoice(view, view.reading, "length_basis")}
    ${form.length_basis === "measured" ? html`<div class="pairs">
        ${localNumber(view, view.reading, "outside_a_mm", { field: "outside_now_mm", label: t.theatre.outsideNow2(a) })}
        ${localNumber(view, view.reading, "outside_b_mm", { field: "outside_now_mm", label: t.theatre.outsideNow3(b) })}
      </div><p class="hint">${t.theatre.alongHapticFromScleral}</p>` : nothing}
    ${form.length_basis && form.length_basis !== "measured"
      ? html`<gl-banner kind="caution">${t.theatre.lengthThenAssumedNot}</gl-banner>` : nothing}
    ${removedNote(view)} ${todo(view, "where")}`;
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
  const form = view.reading.values;
  return html`
    ${localChoice(view, view.reading, "instrument")}
    ${localChoice(view, view.reading, "form", { label: t.theatre.writtenAs, options: WRITTEN })}
    ${form.form === "equivalent" ? localNumber(view, view.reading, "refraction_d", { label: t.theatre.sphericalEquivalent }) : nothing}
    ${form.form === "cylinder" ? html`
      ${localNumber(view, view.reading, "sphere_d")}
      ${localNumber(view, view.reading, "cylinder_d", { field: "cylinder_entered_d", hint: cylinderHint() })}
      ${localAxis(view, view.reading, "axis_deg")} ${view.typed.render()}` : nothing}
    ${todo(view, "reading")}`;
}

/** @param {TheatreView} view */
export function eyeStep(view) {
  return html`
    ${localNumber(view, view.reading, "iop_mmhg")} ${localChoice(view, view.reading, "infusion")} ${localChoice(view, view.reading, "fill")}
    ${localFlag(view, view.reading, "iridectomy_done")} ${todo(view, "eye")}
    ${view.reading.fault ? html`<gl-banner kind="stop">${view.reading.fault}</gl-banner>` : nothing}`;
}

/** @param {TheatreView} view @param {string} step */
function todo(view, step) {
  const left = lacking(view.reading.values, step, view.isFirst, view.typed.minus);
  return left.length === 0 ? nothing : html`<p class="hint" role="status">${t.theatre.stillEnter(left.join(", "))}</p>`;
}
