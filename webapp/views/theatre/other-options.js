/** What could help when the target is out of reach of haptic length: after the advice, and never louder. */
import { html, nothing } from "lit";
import { percent } from "../../elements/format.js";
import { t } from "../../words/words.js";

/** @param {any[] | null | undefined} list as the core ranks them */
export function otherOptions(list) {
  if (!list?.length) return nothing;
  return html`<section class="others" data-role="other-options" aria-label=${t.hands.otherOptions}>
    <h3>${t.hands.otherOptions}</h3><p class="hint">${t.hands.afterAdvice}</p>
    <ul>${list.map((one) => html`<li data-option=${one.option} class=${one.offered ? "" : "closed"}><strong>${one.title}</strong>
      ${one.offered ? chance(one) : nothing}<p>${one.say}</p>
      ${one.offered ? html`<p>${t.hands.costs(one.costs.join(", "))}</p>` : nothing}</li>`)}</ul></section>`;
}

/** @param {any} one */
function chance(one) {
  return html`<p>${one.chance_now == null ? t.hands.chanceNow(percent(one.within_050))
    : t.hands.chanceThen(percent(one.within_050), percent(one.chance_now))}</p>`;
}
