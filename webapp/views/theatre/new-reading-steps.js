/** The three screens of a new reading: where, what, and the eye during it. */
import { html, nothing } from "lit";
import { plain } from "../../elements/format.js";
import { localChoice, localFlag, localNumber } from "../stage/local-inputs.js";
import { lacking } from "./form.js";

/** @typedef {import("./theatre-view.js").TheatreView} TheatreView */

const MOVED = { yes: "Moved", no: "Nothing moved" };
const WRITTEN = { equivalent: "Spherical equivalent", cylinder: "Sphere and cylinder" };

/** @param {TheatreView} view */
export function whereStep(view) {
  const form = view.reading.values;
  const { a, b } = view.clocks;
  return html`
    ${view.isFirst ? nothing : localChoice(view, view.reading, "moved", { label: "Since the last reading", options: MOVED,
      hint: "Pulling one haptic draws the other in: after any move measure both again." })}
    ${localChoice(view, view.reading, "length_basis")}
    ${form.length_basis === "measured" ? html`<div class="pairs">
        ${localNumber(view, view.reading, "outside_a_mm", { field: "outside_now_mm", label: `Outside now, ${a}` })}
        ${localNumber(view, view.reading, "outside_b_mm", { field: "outside_now_mm", label: `Outside now, ${b}` })}
      </div><p class="hint">Along the haptic, from the scleral opening to the tip, to half a millimetre.</p>` : nothing}
    ${form.length_basis && form.length_basis !== "measured"
      ? html`<gl-banner kind="caution">The length is then assumed, not measured: the advice is less sure.</gl-banner>` : nothing}
    ${removedNote(view)} ${todo(view, "where")}`;
}

/** @param {TheatreView} view */
function removedNote(view) {
  const { a, b } = view.clocks;
  const { removed } = view;
  if (removed.a === 0 && removed.b === 0) return html`<p class="hint">Nothing removed so far, from what was logged.</p>`;
  return html`<p class="hint">Removed so far, from what was logged: ${a} ${plain(removed.a, "removed_mm")},
    ${b} ${plain(removed.b, "removed_mm")}.</p>`;
}

/** @param {TheatreView} view */
export function valueStep(view) {
  const form = view.reading.values;
  return html`
    ${localChoice(view, view.reading, "instrument")}
    ${localChoice(view, view.reading, "form", { label: "Written as", options: WRITTEN })}
    ${form.form === "equivalent" ? localNumber(view, view.reading, "refraction_d", { label: "Spherical equivalent" }) : nothing}
    ${form.form === "cylinder" ? html`
      ${localNumber(view, view.reading, "sphere_d")} ${localNumber(view, view.reading, "cylinder_d")} ${localNumber(view, view.reading, "axis_deg")}
      <p class="hint">Minus-cylinder form.</p>` : nothing}
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
  const left = lacking(view.reading.values, step, view.isFirst);
  return left.length === 0 ? nothing : html`<p class="hint" role="status">Still to enter: ${left.join(", ")}.</p>`;
}
