/** Input templates shared by the three stages: one line per stored quantity. */
import { html, nothing } from "lit";
import { fieldOf } from "../../elements/format.js";
import { valueAt } from "./records.js";
import { t } from "../../words/words.js";

/**
 * `assumed` says what stands in for empty entries, `otherwise` gives entries in the other unit; both by path, from the core.
 * @typedef {{case: Record<string, any> | null, drafts?: Record<string, string> | null, assumed?: Record<string, string>,
 *   otherwise?: Record<string, string>}} CaseHolder
 */

/**
 * A number of the case. `field` is its glossary name when the stored key has a haptic letter in it.
 * @param {CaseHolder} holder @param {string} path
 * @param {{field?: string, label?: string}} [options]
 */
export function number(holder, path, { field, label } = {}) {
  return html`<gl-number field=${field ?? lastKey(path)} path=${path} label=${label ?? nothing} hint=${hintFor(holder, path)}
    .value=${valueAt(holder.case, path)} .draft=${holder.drafts?.[path] ?? null}></gl-number>`;
}

/**
 * An axis or meridian of the case, typed or turned.
 * @param {CaseHolder} holder @param {string} path
 */
export function axis(holder, path) {
  return html`<gl-axis field=${lastKey(path)} path=${path} hint=${hintFor(holder, path)}
    .value=${valueAt(holder.case, path)} .draft=${holder.drafts?.[path] ?? null}></gl-axis>`;
}

/**
 * One of a few words; nothing is chosen until the surgeon chooses.
 * @param {CaseHolder} holder @param {string} path
 * @param {{field?: string, label?: string}} [options]
 */
export function choice(holder, path, { field, label } = {}) {
  return html`<gl-choice field=${field ?? lastKey(path)} path=${path} label=${label ?? nothing}
    hint=${hintFor(holder, path)} .value=${valueAt(holder.case, path)}></gl-choice>`;
}

/**
 * Yes or no.
 * @param {CaseHolder} holder @param {string} path
 */
export function flag(holder, path) {
  return html`<gl-flag field=${lastKey(path)} path=${path} .value=${valueAt(holder.case, path)}></gl-flag>`;
}

/**
 * The words of a glossary choice.
 * @param {string} field @param {string | null | undefined} value @returns {string}
 */
export function wordFor(field, value) {
  if (value == null) return t.stage.notRecorded;
  return fieldOf(field).choices[value] ?? value;
}

/** @param {CaseHolder} holder @param {string} path */
function hintFor(holder, path) {
  const stand_in = holder.assumed?.[path];
  if (holder.otherwise?.[path]) return holder.otherwise[path];
  return stand_in ? t.stage.ifLeftEmpty(stand_in) : nothing;
}

/** @param {string} path @returns {string} */
function lastKey(path) {
  return path.slice(path.lastIndexOf(".") + 1);
}
