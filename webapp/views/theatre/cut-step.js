/** Reading the cut back aloud; held to confirm, then stored as the decision. */
import { html, nothing } from "lit";
import { plain, when } from "../../elements/format.js";
import { append, stamp } from "../stage/records.js";
import { inParts, saysTheSame } from "../stage/read-back.js";
import { withState } from "../stage/status.js";

/** @typedef {import("./theatre-view.js").TheatreView} TheatreView */

/** @param {TheatreView} view */
export function cutStep(view) {
  return withState(view.theatre, () => cutReadBack(view));
}

/** @param {TheatreView} view */
function cutReadBack(view) {
  const { advice, readback, blocked } = view.theatre.value;
  if (!advice || !readback) return html`<gl-banner kind=${blocked ? "stop" : "info"} heading="No cut to read back">
    ${blocked?.reason ?? "There is no advice yet. Take a reading first."}</gl-banner>`;
  const last = (view.case?.decisions ?? []).at(-1);
  const stored = (view.case?.readbacks ?? []).filter((/** @type {any} */ one) => one.kind === "cut").at(-1);
  const current = saysTheSame(stored?.values, readback.lines);
  return html`
    ${current && last ? html`<gl-banner kind="done" heading="Decision stored">${when(last.at)}.
      Log what was done to each haptic on the next screen.</gl-banner>` : nothing}
    ${!current && last ? earlier(view, last) : nothing}
    ${current ? summary(readback.lines) : html`
      <p class="say">Read aloud, a second person answers. A cut cannot be undone.</p>
      <gl-read-back kind="cut" .lines=${readback.lines} .fingerprint=${readback.fingerprint}
        .blocked=${view.theatre.stale} @read=${() => decide(view)}></gl-read-back>`}`;
}

/** @param {Array<{label: string, value: string}>} lines */
function summary(lines) {
  return html`<dl class="big-facts">${lines.map((line) => html`<dt>${line.label}</dt><dd>${inParts(line.value)}</dd>`)}</dl>`;
}

/** @param {TheatreView} view @param {any} last */
function earlier(view, last) {
  return html`<gl-banner kind="caution" heading="The advice has changed">The earlier decision stays in the record:
    cut ${view.clocks.a} ${plain(last.cut_a_mm, "cut_mm")}, ${view.clocks.b} ${plain(last.cut_b_mm, "cut_mm")},
    ${when(last.at)}.</gl-banner>`;
}

/** Stores the advice as it was read back. @param {TheatreView} view */
function decide(view) {
  const { advice, flange, readings } = view.theatre.value;
  const { final } = advice;
  append(view, "decisions", {
    ...stamp(),
    outside_mm: advice.outside_mm,
    cut_a_mm: advice.cut_mm[0],
    cut_b_mm: advice.cut_mm[1],
    melt_mm: flange.melt_mm,
    bury_mm: flange.bury_mm,
    mean_d: final.mean_d,
    sd_d: final.sd_d,
    low80_d: final.low80_d,
    high80_d: final.high80_d,
    within_050: final.within_050,
    no_useful_adjustment: advice.no_useful_adjustment,
    readings_used: readings.filter((/** @type {any} */ one) => one.used).length,
    core_version: view.theatre.provenance.core_version ?? null,
    build_id: view.theatre.provenance.build_id ?? null,
  });
}
