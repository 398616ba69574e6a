/** Findings of the case check: what is impossible, unusual or missing, and where. */
import { html, nothing } from "lit";
import { severityWord } from "../stage/status.js";
import { t } from "../../words/words.js";

/** @typedef {{path: string, code: string, severity: string, message: string}} Finding */

/**
 * @param {Finding[] | null | undefined} findings
 * @param {(path: string) => void} goTo
 */
export function findingsList(findings, goTo) {
  if (!findings) return nothing;
  if (findings.length === 0) return html`<p class="all-well">${t.plan.nothingMissingNothingUnusual}</p>`;
  const rest = findings.filter(isOptional);
  const main = findings.filter((finding) => !isOptional(finding));
  return html`${main.length ? rows(main, goTo) : html`<p class="all-well">${t.plan.nothingImpossibleNothingUnusual}</p>`}
    ${rest.length ? html`<details><summary>${t.plan.notEntered(rest.length)}</summary>${rows(rest, goTo)}</details>` : nothing}`;
}

/** The plan can be made without it. @param {Finding} finding @returns {boolean} */
function isOptional(finding) {
  return finding.severity === "missing" && finding.code !== "missing_for_plan";
}

/** @param {Finding[]} findings @param {(path: string) => void} goTo */
function rows(findings, goTo) {
  return html`<ul class="findings">${findings.map((finding) => html`
    <li><button type="button" class=${`finding ${finding.severity}`} data-path=${finding.path}
      @click=${() => goTo(finding.path)}>
      <strong>${MARKS[finding.severity] ?? "•"} ${severityWord(finding.severity)}</strong>
      <span>${finding.message}</span>
    </button></li>`)}</ul>`;
}

/** @type {Record<string, string>} */
const MARKS = { impossible: "✕", unusual: "?", missing: "○" };
