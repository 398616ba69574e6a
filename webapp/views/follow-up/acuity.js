/** Acuity as it was typed: the core reads it, shows every form, and asks where a number could be either. */
import { html, nothing } from "lit";
import { notation as shown } from "../../elements/notation.js";
import { localLine } from "../stage/local-inputs.js";
import { t } from "../../words/words.js";

/** @typedef {import("./follow-up-view.js").FollowUpView} FollowUpView */
/** @typedef {"udva" | "cdva"} Kind */

/** @type {readonly Kind[]} */
export const KINDS = ["udva", "cdva"];
const NAMES = { udva: t.followUp.uncorrectedAcuity, cdva: t.followUp.correctedAcuity };

/** Asks the core about what is typed; a notation chosen for other text is forgotten. @param {FollowUpView} view */
export function followAcuity(view) {
  for (const kind of KINDS) {
    const text = view.visit.values[`${kind}_written`] ?? null;
    const notation = notationFor(view, kind);
    const key = JSON.stringify([text, notation]);
    if (key === view.acuityKeys[kind] || text === null) continue;
    view.acuityKeys[kind] = key;
    view.acuity[kind].follow({ text, notation, ...shown.request });
  }
}

/** @param {FollowUpView} view @param {Kind} kind @returns {string | null} */
function notationFor(view, kind) {
  const { values } = view.visit;
  return values[`${kind}_notation_of`] === values[`${kind}_written`] ? values[`${kind}_notation`] ?? null : null;
}

/** What was read, once the core has answered for exactly what is typed. @param {FollowUpView} view @param {Kind} kind */
export function readAcuity(view, kind) {
  const text = view.visit.values[`${kind}_written`] ?? null;
  const answer = view.acuity[kind];
  if (text === null || answer.stale || answer.failure || answer.value?.state !== "read") return null;
  return JSON.stringify([text, notationFor(view, kind)]) === view.acuityKeys[kind] ? answer.value : null;
}

/** What is still open, in words. @param {FollowUpView} view @returns {string[]} */
export function openAcuities(view) {
  return KINDS.filter((kind) => view.visit.values[`${kind}_written`] && !readAcuity(view, kind)).map((kind) => NAMES[kind]);
}

/** The keys of a visit. @param {FollowUpView} view @returns {Record<string, unknown>} */
export function acuityEntry(view) {
  return Object.fromEntries(KINDS.flatMap((kind) => {
    const found = readAcuity(view, kind);
    const text = found ? view.visit.values[`${kind}_written`] : null;
    return [[`${kind}_logmar`, found?.logmar ?? null], [`${kind}_low`, found?.low ?? null],
      [`${kind}_notation`, found?.notation ?? null], [`${kind}_written`, text]];
  }));
}

/** @param {FollowUpView} view */
export function acuities(view) {
  return KINDS.map((kind) => html`<div>${localLine(view, view.visit, `${kind}_written`)}${meaning(view, kind)}</div>`);
}

/** @param {FollowUpView} view @param {Kind} kind */
function meaning(view, kind) {
  const answer = view.acuity[kind];
  if (!view.visit.values[`${kind}_written`]) return nothing;
  if (answer.failure) return html`<gl-banner kind="caution">${answer.failure.message}</gl-banner>`;
  if (answer.stale || !answer.value) return nothing;
  if (answer.value.state === "ask") return question(view, kind, answer.value);
  return html`<p class="shown" data-role=${`${kind}-shown`}>${answer.value.shown}</p>`;
}

/** @param {FollowUpView} view @param {Kind} kind @param {any} asked */
function question(view, kind, asked) {
  const choose = (/** @type {string} */ notation) => view.visit.set({
    [`${kind}_notation`]: notation, [`${kind}_notation_of`]: view.visit.values[`${kind}_written`] });
  return html`<gl-banner kind="caution" heading=${asked.question} data-role=${`${kind}-ask`}>
    <div class="asked">${asked.meanings.map((/** @type {any} */ one) => html`<button type="button" data-notation=${one.notation}
      @click=${() => choose(one.notation)}><strong>${one.label}</strong><br>${one.shown}</button>`)}</div></gl-banner>`;
}
