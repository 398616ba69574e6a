/** Styles of the plan only. */
import { css } from "lit";

export const planStyles = css`
  .findings { list-style: none; padding: 0; display: grid; gap: var(--gap-2); }
  .finding { width: 100%; display: grid; justify-content: stretch; justify-items: start; text-align: start; gap: 2px; border-inline-start-width: 8px; }
  .finding span { font-weight: 400; }
  .finding.impossible { border-color: var(--stop); }
  .finding.unusual { border-color: var(--caution); }
  .explain { display: grid; gap: var(--gap-1); padding-inline-start: 1.2em; margin-block: var(--gap-2) 0; }
  section[data-role="own-eyes"] { display: grid; gap: var(--gap-2); }
  .all-well { color: var(--done); font-weight: 600; }
  .clocks { margin-block-start: var(--gap-2); font-size: var(--text-large); }
  .chosen-lens { padding: var(--gap-3); border: 2px solid var(--accent); border-radius: var(--round); background: var(--accent-soft); }
  .outcome { display: flex; flex-wrap: wrap; align-items: baseline; gap: 0 var(--gap-3); margin-block: var(--gap-1); }
  .outcome strong { font-size: min(var(--text-answer), 15vw); line-height: 1.15; white-space: nowrap; }
  .outcome span { font-size: var(--text-large); }
  .lens-detail { padding: var(--gap-3); background: var(--sunken); border-radius: var(--round); margin-block-start: var(--gap-2); }
  .lens-detail h4 { margin: 0 0 var(--gap-2); font-size: var(--text-large); }
  .lens-detail dl.facts dd { white-space: normal; }
  .actions { display: flex; flex-wrap: wrap; justify-content: space-between; align-items: center; gap: var(--gap-2); margin-block-start: var(--gap-3); }
  tr.base > * { font-weight: 700; color: var(--ink); }
  tr.base small { padding: 0 0.4em; border: 1px solid currentColor; border-radius: var(--round-small); }
  td.why { text-align: start; font-size: var(--text-small); }
  .budget { list-style: none; padding: 0; display: grid; gap: var(--gap-2); }
  .budget li { display: grid; grid-template-columns: minmax(0, 1fr) auto 3.4em; gap: 0 var(--gap-3); align-items: baseline; }
  .budget .share { text-align: end; grid-column: 3; grid-row: 1; }
  .budget .bar { grid-column: 1 / -1; height: 8px; border-radius: 4px; background: var(--sunken); overflow: hidden; }
  .budget .bar i { display: block; height: 100%; background: var(--accent); }
  details summary { min-height: var(--touch); display: flex; align-items: center; font-weight: 600; cursor: pointer; }
  details summary::before { content: "▸"; margin-inline-end: var(--gap-2); }
  details[open] summary::before { content: "▾"; }
  details { margin-block-start: var(--gap-3); }
`;
