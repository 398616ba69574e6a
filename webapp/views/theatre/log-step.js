/** What was done to each haptic, in order. Nothing is erased: a correction is a new entry. */
import { html, nothing } from "lit";
import { plain, when } from "../../elements/format.js";
import { implantedLens } from "../box/implanted.js";
import { wordFor } from "../stage/fields.js";
import { append, stamp } from "../stage/records.js";
import { localChoice, localNumber } from "../stage/local-inputs.js";
import { rich } from "../../words/rich.js";
import { t } from "../../words/words.js";

/** @typedef {import("./theatre-view.js").TheatreView} TheatreView */

/** The length a step is recorded with, by its glossary field; other steps have none. @type {Record<string, string>} */
const LENGTHS = {
  externalise: "outside_now_mm", pull: "outside_now_mm", measure: "outside_now_mm",
  bulb: "melt_mm", cut: "cut_mm", melt: "melt_mm", bury: "bury_mm",
};
const BASIS = { measured: t.theatre.measured, assumed: t.theatre.assumed };

/** @param {TheatreView} view */
export function logStep(view) {
  return html`
    <p class="say" data-role="state">${rich(t.theatre.haptics(wordFor("haptic_state", view.theatre.value?.haptic_state)), { strong: (words) => html`<strong>${words}</strong>` })}</p>
    ${entryForm(view)} ${list(view)} ${implantedLens(view)}
    ${(view.case?.haptic_log ?? []).length > 0 ? html`<p class="hint">${t.theatre.followUpBeginsWhen}</p>` : nothing}`;
}

/** @param {TheatreView} view */
function entryForm(view) {
  const form = view.entry.values;
  const field = LENGTHS[String(form.haptic_step)];
  const wrong = corrected(view);
  return html`<section class="entry" aria-label=${t.theatre.newEntry}>
    ${wrong ? html`<gl-banner kind="info" heading=${t.theatre.correcting}>${t.theatre.oldEntryStaysStruck(sentence(view, wrong))}
      <button type="button" class="link" @click=${() => view.correct(null)}>${t.theatre.doNotCorrect}</button></gl-banner>` : nothing}
    ${localChoice(view, view.entry, "haptic", { label: t.theatre.haptic, options: view.clocks })}
    ${localChoice(view, view.entry, "haptic_step", { label: t.theatre.whatWasDone })}
    ${field ? html`${localNumber(view, view.entry, "length_mm", { field })}
      ${localChoice(view, view.entry, "basis", { label: t.theatre.length, options: BASIS })}` : nothing}
    ${gate(view)}
    <button type="button" class="main wide" ?disabled=${!complete(form) || view.entry.saving || closed(view)} @click=${() => save(view)}>
      ${wrong ? t.theatre.saveCorrection : t.theatre.addLog}</button>
    ${view.entry.fault ? html`<gl-banner kind="stop">${view.entry.fault}</gl-banner>` : nothing}
  </section>`;
}

/** Whether this step must wait for the read-back of the cut. @param {TheatreView} view @returns {boolean} */
function closed(view) {
  const found = view.theatre.value?.log_gate;
  return Boolean(found && !found.open && !view.correcting && found.steps.includes(view.entry.values.haptic_step));
}

/** What cannot be undone is read back first, or said not to have been. @param {TheatreView} view */
function gate(view) {
  if (!closed(view)) return nothing;
  return html`<gl-banner kind="stop" heading=${t.theatre.readBackFirst} data-role="log-gate">${view.theatre.value.log_gate.reason}</gl-banner>
    <button type="button" class="wide" @click=${() => view.go("cut")}>${t.theatre.readBackCut}</button>
    <p class="hint">${t.hands.withoutReadBack}</p>
    <gl-hold danger label=${t.theatre.wasNotReadBack} @confirm=${() => notReadBack(view)}></gl-hold>`;
}

/** @param {TheatreView} view */
function notReadBack(view) {
  const fingerprint = view.theatre.value?.readback?.fingerprint ?? null;
  void append(view, "readbacks", { ...stamp(), kind: "cut", values: { fingerprint }, by_two: false });
}

/** @param {import("../stage/local-form.js").Values} form @returns {boolean} */
function complete(form) {
  if (form.haptic == null || form.haptic_step == null) return false;
  return !(String(form.haptic_step) in LENGTHS) || (form.length_mm != null && form.basis != null);
}

/** @param {TheatreView} view */
function save(view) {
  const form = view.entry.values;
  const sized = String(form.haptic_step) in LENGTHS;
  view.logEntry({
    ...stamp(),
    haptic: form.haptic,
    haptic_step: form.haptic_step,
    length_mm: sized ? form.length_mm : null,
    basis: sized ? form.basis : null,
    corrects: view.correcting,
  });
}

/** @param {TheatreView} view */
function list(view) {
  const log = /** @type {any[]} */ (view.case?.haptic_log ?? []);
  const replaced = new Set(log.map((entry) => entry.corrects).filter(Boolean));
  if (log.length === 0) return html`<p class="hint">${t.theatre.nothingLoggedYet}</p>`;
  return html`<ol class="log" aria-label=${t.theatre.log}>${log.map((entry) => html`<li class=${replaced.has(entry.id) ? "gone" : ""}
    data-entry=${entry.id}>
    <p>${sentence(view, entry)}</p>
    <p class="hint">${when(entry.at)}${entry.corrects ? t.theatre.correction : ""}${replaced.has(entry.id) ? t.theatre.correctedBelow : ""}</p>
    ${replaced.has(entry.id) ? nothing : html`<button type="button" class="quiet" @click=${() => view.correct(entry.id)}>${t.theatre.correct}</button>`}
  </li>`)}</ol>`;
}

/** @param {TheatreView} view @param {any} entry @returns {string} */
function sentence(view, entry) {
  const where = view.clocks[/** @type {"a" | "b"} */ (entry.haptic)];
  const field = LENGTHS[entry.haptic_step];
  const outside = field === "outside_now_mm" ? t.theatre.outsideNow : "";
  const length = field && entry.length_mm != null ? ` ${plain(entry.length_mm, field)}${outside}, ${entry.basis}` : "";
  return `${where}: ${wordFor("haptic_step", entry.haptic_step)}${length}`;
}

/** @param {TheatreView} view @returns {any} */
function corrected(view) {
  return (view.case?.haptic_log ?? []).find((/** @type {any} */ entry) => entry.id === view.correcting) ?? null;
}
