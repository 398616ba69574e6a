/** The choice of a language; nothing while the app speaks only one. */
import { html, nothing } from "lit";
import "../../elements/all.js";
import { choose, chosen } from "../../words/chosen.js";
import { LANGUAGES } from "../../words/languages.js";
import { t } from "../../words/words.js";

export function languageCard() {
  const names = Object.fromEntries(Object.entries(LANGUAGES).map(([code, { name }]) => [code, name]));
  if (Object.keys(names).length < 2) return nothing;
  return html`<gl-card heading=${t.setup.language}><gl-choice local label=${t.setup.language} field="eye" path="setup.language" .options=${names}
    .value=${chosen()} @commit=${(/** @type {CustomEvent} */ event) => choose(event.detail.value)}></gl-choice></gl-card>`;
}
