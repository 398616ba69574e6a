/** Findings of the case check: what is impossible, unusual or missing, and where. */
import { html, nothing } from "lit";
import { severityWord } from "../stage/status.js";

/** @typedef {{path: string, code: string, severity: string, message: string}} Finding */

/**
 * @param {Finding[] | null | undefined} findings
 * @param {(path: string) => void} goTo
 */
export function findingsList(findings, goTo) {
  if (!findings) return nothing;
  if (findings.length === 0) return html`<p class="all-well">✓ Nothing missing, nothing unusual.</p>`;
  const order = ["impossible", "unusual", "missing"];
  const sorted = [...findings].sort((one, two) => order.indexOf(one.severity) - order.indexOf(two.severity));
  return html`<ul class="findings">${sorted.map((finding) => html`
    <li><button type="button" class=${`finding ${finding.severity}`} data-path=${finding.path}
      @click=${() => goTo(finding.path)}>
      <strong>${MARKS[finding.severity] ?? "•"} ${severityWord(finding.severity)}</strong>
      <span>${finding.message}</span>
    </button></li>`)}</ul>`;
}

/** @type {Record<string, string>} */
const MARKS = { impossible: "✕", unusual: "?", missing: "○" };
