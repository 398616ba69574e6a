/** Inputs of the theatre's forms: they belong to an entry that is not stored yet. */
import { html, nothing } from "lit";
import { READING } from "./form.js";

/** @typedef {import("./theatre_view.js").TheatreView} TheatreView */

/**
 * @param {TheatreView} view @param {string} key
 * @param {{field?: string, label?: string, hint?: string, form?: string}} [options]
 */
export function localNumber(view, key, { field, label, hint, form = READING } = {}) {
  const path = `${form}.${key}`;
  return html`<gl-number local field=${field ?? key} path=${path} label=${label ?? nothing} hint=${hint ?? nothing}
    .value=${view.forms[form][key] ?? null} .draft=${view.drafts?.[path] ?? null}></gl-number>`;
}

/**
 * @param {TheatreView} view @param {string} key
 * @param {{field?: string, label?: string, hint?: string, form?: string, options?: Record<string, string>}} [options]
 */
export function localChoice(view, key, { field, label, hint, form = READING, options } = {}) {
  const path = `${form}.${key}`;
  return html`<gl-choice local field=${field ?? key} path=${path} label=${label ?? nothing} hint=${hint ?? nothing}
    .options=${options ?? null} .value=${view.forms[form][key] ?? null}
    .draft=${view.drafts?.[path] ?? null}></gl-choice>`;
}

/**
 * @param {TheatreView} view @param {string} key @param {{form?: string}} [options]
 */
export function localFlag(view, key, { form = READING } = {}) {
  const path = `${form}.${key}`;
  return html`<gl-flag local field=${key} path=${path} .value=${view.forms[form][key] ?? null}
    .draft=${view.drafts?.[path] ?? null}></gl-flag>`;
}
