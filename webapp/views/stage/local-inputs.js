/** Inputs of an entry that is not stored yet. */
import { html, nothing } from "lit";

/** @typedef {{drafts: Record<string, string> | null}} Holder */
/** @typedef {import("./local-form.js").LocalForm} LocalForm */
/** @typedef {{field?: string, label?: string, hint?: string, options?: Record<string, string>}} Options */

/** @param {Holder} holder @param {LocalForm} form @param {string} key @param {Options} [options] */
export function localNumber(holder, form, key, { field, label, hint } = {}) {
  const path = `${form.name}.${key}`;
  return html`<gl-number local field=${field ?? key} path=${path} label=${label ?? nothing} hint=${hint ?? nothing}
    .value=${form.values[key] ?? null} .draft=${holder.drafts?.[path] ?? null}></gl-number>`;
}

/** @param {Holder} holder @param {LocalForm} form @param {string} key */
export function localAxis(holder, form, key) {
  const path = `${form.name}.${key}`;
  return html`<gl-axis local field=${key} path=${path} .value=${form.values[key] ?? null} .draft=${holder.drafts?.[path] ?? null}></gl-axis>`;
}

/** @param {Holder} _holder @param {LocalForm} form @param {string} key @param {Options} [options] */
export function localChoice(_holder, form, key, { field, label, hint, options } = {}) {
  return html`<gl-choice local field=${field ?? key} path=${`${form.name}.${key}`} label=${label ?? nothing}
    hint=${hint ?? nothing} .options=${options ?? null} .value=${form.values[key] ?? null}></gl-choice>`;
}

/** @param {Holder} _holder @param {LocalForm} form @param {string} key */
export function localFlag(_holder, form, key) {
  return html`<gl-flag local field=${key} path=${`${form.name}.${key}`} .value=${form.values[key] ?? null}></gl-flag>`;
}

/** @param {Holder} _holder @param {LocalForm} form @param {string} key */
export function localLine(_holder, form, key) {
  return html`<gl-line local field=${key} path=${`${form.name}.${key}`} .value=${form.values[key] ?? null}></gl-line>`;
}
