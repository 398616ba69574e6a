/** First screen: the plan as it was read back, or the read-back itself. */
import { html } from "lit";
import { when } from "../../elements/format.js";
import { readBackFor } from "../plan/read-back-for.js";
import { inParts } from "../stage/read-back.js";
import { cautions, withState } from "../stage/status.js";
import { t } from "../../words/words.js";

/** @typedef {import("./theatre-view.js").TheatreView} TheatreView */

/** @param {TheatreView} view */
export function gateStep(view) {
  return withState(view.plan, () => gate(view));
}

/** @param {TheatreView} view */
function gate(view) {
  const plan = view.plan.value;
  if (!plan.ready || !plan.readback) return html`
    <gl-banner kind="stop" heading=${t.theatre.planNotComplete}>${t.theatre.completeFirstTheatreOpens}</gl-banner>
    <a class="button wide" href=${`#/eye/${view.case?.code}/plan`}>${t.theatre.goPlan}</a>`;
  const done = readBackFor(view.case, plan.readback.fingerprint);
  return done ? confirmed(plan, done) : toRead(view, plan);
}

/** @param {any} plan @param {{at: string}} done */
function confirmed(plan, done) {
  return html`<gl-banner kind="done" heading=${t.theatre.readBackTwoPeople}>${when(done.at)}</gl-banner>
    <dl class="big-facts">${plan.readback.lines.map((/** @type {any} */ line) => html`
      <dt>${line.label}</dt><dd>${inParts(line.value)}</dd>`)}</dl>
    ${cautions(plan.cautions)}`;
}

/** @param {TheatreView} view @param {any} plan */
function toRead(view, plan) {
  const earlier = (view.case?.readbacks ?? []).some((/** @type {any} */ entry) => entry.kind === "plan");
  return html`<gl-banner kind="stop" heading=${earlier ? t.theatre.planHasChanged : t.theatre.notReadBackYet}>
      ${view.theatre.value?.blocked?.reason ?? t.theatre.readEveryLineAloud}</gl-banner>
    <gl-read-back kind="plan" identifiers .lines=${plan.readback.lines} .fingerprint=${plan.readback.fingerprint}
      .blocked=${view.plan.stale}></gl-read-back>`;
}
