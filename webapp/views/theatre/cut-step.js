/** Reading the cut back aloud; held to confirm, then stored as the decision. */
import { html, nothing } from "lit";
import { plain, when } from "../../elements/format.js";
import { inParts, saysTheSame } from "../stage/read-back.js";
import { withState } from "../stage/status.js";
import { ownCut } from "./own-cut.js";
import { t } from "../../words/words.js";

/** @typedef {import("./theatre-view.js").TheatreView} TheatreView */

/** @param {TheatreView} view */
export function cutStep(view) {
  return withState(view.theatre, () => cutReadBack(view));
}

/** @param {TheatreView} view */
function cutReadBack(view) {
  const { advice, readback, blocked } = view.theatre.value;
  if (!advice || !readback) return html`<gl-banner kind=${blocked ? "stop" : "info"} heading=${t.theatre.noCutReadBack}>
    ${blocked?.reason ?? t.theatre.thereNoAdviceYet}</gl-banner>`;
  const last = (view.case?.decisions ?? []).at(-1);
  const stored = (view.case?.readbacks ?? []).filter((/** @type {any} */ one) => one.kind === "cut").at(-1);
  const current = saysTheSame(stored?.values, readback.lines);
  return html`
    ${ownCut(view)}
    ${current && last ? html`<gl-banner kind="done" heading=${t.theatre.decisionStored}>${t.theatre.logWhatWasDone(when(last.at))}</gl-banner>` : nothing}
    ${!current && last ? earlier(view, last) : nothing}
    ${current ? summary(readback.lines) : html`
      <p class="say">${t.theatre.readAloudSecondPerson}</p>
      <gl-read-back kind="cut" .lines=${readback.lines} .fingerprint=${readback.fingerprint}
        .blocked=${view.theatre.stale} .also=${decision(view)}>${rulesOut(view.theatre.value.rules_out)}</gl-read-back>`}`;
}

/** Said before the hold: what can no longer be done after it. @param {string[]} list */
function rulesOut(list) {
  if (!list?.length) return nothing;
  return html`<gl-banner kind="caution" heading=${t.hands.rulesOut} data-role="rules-out">${list.map((one) => html`<p>${one}</p>`)}</gl-banner>`;
}

/** @param {Array<{label: string, value: string}>} lines */
function summary(lines) {
  return html`<dl class="big-facts">${lines.map((line) => html`<dt>${line.label}</dt><dd>${inParts(line.value)}</dd>`)}</dl>`;
}

/** @param {TheatreView} view @param {any} last */
function earlier(view, last) {
  return html`<gl-banner kind="caution" heading=${t.theatre.hasChangedSince}>${t.theatre.earlierDecisionStaysRecord(view.clocks.a, plain(last.cut_a_mm, "cut_mm"), view.clocks.b, plain(last.cut_b_mm, "cut_mm"), when(last.at))}</gl-banner>`;
}

/** The decision as the core words it, stored with its read-back. @param {TheatreView} view */
function decision(view) {
  const { core_version = null, build_id = null } = /** @type {Record<string, any>} */ (view.theatre.provenance);
  return { path: "decisions", entry: { ...view.theatre.value.decision, core_version, build_id } };
}
