import { css } from "lit";

export const dicomStyles = css`
  :host { display: block; }
  summary { min-height: var(--touch); display: flex; align-items: center; font-weight: 600; cursor: pointer; }
  summary::before { content: "▸"; margin-inline-end: var(--gap-2); }
  details[open] > summary::before { content: "▾"; }
  summary::-webkit-details-marker { display: none; }
  .stack, ul, li, .reading { display: grid; grid-template-columns: minmax(0, 1fr); gap: var(--gap-3); }
  ul { padding: 0; list-style: none; }
  li { gap: var(--gap-2); padding: var(--gap-3); border: 1px solid var(--rule); border-left: 6px solid var(--accent); border-radius: var(--round); overflow-wrap: anywhere; }
  li.refused { border-left: 6px dotted var(--edge); }
  li h4 { margin: 0; display: flex; flex-wrap: wrap; justify-content: space-between; align-items: baseline; gap: 0 var(--gap-3); font-size: var(--text); }
  li h4 b { font-size: var(--text-large); white-space: nowrap; }
  .file { position: relative; overflow: hidden; }
  .file input { position: absolute; inset: 0; opacity: 0; font-size: 2rem; cursor: pointer; }
  .file:focus-within { outline: 3px solid var(--focus); outline-offset: 2px; }
  progress { width: 100%; height: 12px; accent-color: var(--accent); }
  table { width: 100%; border-collapse: collapse; }
  table { table-layout: fixed; }
  th, td { text-align: start; padding: 0 var(--gap-2) var(--gap-1) 0; vertical-align: baseline; }
  th { font-weight: 600; color: var(--ink-soft); font-size: var(--text-small); }
  tbody th { padding-top: var(--gap-1); border-top: 1px solid var(--rule); font-weight: 400; }
  .differs td { font-weight: 700; }
  .differs td:last-child::before { content: "≠ "; color: var(--caution); }
  .way { display: grid; gap: var(--gap-2); }
  .same { display: flex; flex-wrap: wrap; align-items: center; justify-content: space-between; gap: 0 var(--gap-3); min-height: var(--touch); color: var(--done); font-weight: 600; }
  .same button { padding-inline: 0; }
`;
