/** Facts to read: a word and its value on one line, or under each other when both are long. */
import { html } from "lit";

/** @param {unknown} word @param {unknown} value */
export function fact(word, value) {
  return html`<div><dt>${word}</dt><dd>${value}</dd></div>`;
}
