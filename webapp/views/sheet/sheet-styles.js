import { css } from "lit";

export const sheetStyles = css`
  .controls { display: grid; gap: var(--gap-3); }
  article { display: grid; grid-template-columns: minmax(0, 1fr); gap: var(--gap-4); padding: var(--gap-4); border: 1px solid var(--rule);
    border-radius: var(--round); background: var(--surface); color: var(--ink); }
  h2 { margin: 0 0 var(--gap-1); font-size: 1rem; }
  .top { display: flex; flex-wrap: wrap; gap: var(--gap-3); }
  .eye { flex: 1 1 10rem; display: grid; align-content: start; gap: var(--gap-1); }
  .eye strong { font-size: var(--text-heading); }
  .code { font-weight: 700; letter-spacing: 0.06em; }
  .label { flex: 2 1 14rem; min-height: 5.5rem; padding: var(--gap-2); border: 2px dashed var(--edge); color: var(--ink-soft); }
  .columns { display: grid; grid-template-columns: repeat(auto-fit, minmax(14rem, 1fr)); gap: var(--gap-4); }
  dl > div, .read li { display: flex; justify-content: space-between; gap: var(--gap-3); border-bottom: 1px solid var(--rule); padding: 2px 0; }
  dd, .read strong { font-weight: 700; text-align: end; }
  ul, ol { margin: 0; padding: 0; }
  .read { padding: var(--gap-3); border: 2px solid var(--ink); }
  .read li::before { content: "☐"; }
  .read li span { flex: 1; }
  .sign { display: flex; flex-wrap: wrap; gap: var(--gap-2); margin-top: var(--gap-4); align-items: end; }
  .sign i { flex: 1 1 5rem; border-bottom: 1px solid var(--ink); }
  .plain, .how { padding-inline-start: 1.4em; }
  .grid p { margin-bottom: var(--gap-2); }
  .scroll { overflow-x: auto; }
  table { border-collapse: collapse; font-variant-numeric: tabular-nums; font-size: 0.9rem; }
  th, td { min-width: 3.1rem; padding: 3px 5px; border: 1px solid var(--rule); text-align: center; white-space: nowrap;
    font-size: inherit; color: inherit; }
  tbody th { position: sticky; inset-inline-start: 0; background: var(--surface); }
  td.cut { background: var(--accent-soft); font-weight: 800; }
  td.read_again, td.far { color: var(--ink-soft); }
  td.far { font-style: italic; }
  .foot { font-size: var(--text-small); }

  @media print {
    .controls { display: none; }
    article { border: 0; padding: 0; gap: 7pt; font-size: 8.5pt; line-height: 1.25; color: #000; background: #fff; }
    .columns { grid-template-columns: repeat(3, 1fr); gap: 10pt; }
    .label { min-height: 24mm; }
    .read { padding: 5pt 8pt; }
    .sign { margin-top: 9pt; }
    .foot { font-size: 7.5pt; }
    dt, dd { font-size: inherit; }
    .scroll { overflow: visible; }
    table { width: 100%; table-layout: fixed; font-size: 8pt; }
    th, td { min-width: 0; padding: 1.5pt 2pt; border-color: #777; }
    tbody th { background: none; }
    td.cut { background: #ddd; -webkit-print-color-adjust: exact; print-color-adjust: exact; }
    td.read_again, td.far { color: #333; }
    h2 { font-size: 9.5pt; }
    section { break-inside: avoid; }
  }
`;
