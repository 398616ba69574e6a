import { css } from "lit";
import { buttons, shared } from "../../elements/shared-style.js";

const look = css`
  :host { display: grid; gap: var(--gap-4); grid-template-columns: minmax(0, 1fr); }
  .answer { font-size: var(--text-answer); font-weight: 800; line-height: 1.1; }
  .headline { display: grid; gap: var(--gap-1); }
  dl.facts { display: grid; gap: var(--gap-2); }
  dl.facts div { display: flex; flex-wrap: wrap; justify-content: space-between; gap: 0 var(--gap-3); padding-top: var(--gap-2); border-top: 1px solid var(--rule); }
  dl.facts dt { color: var(--ink-soft); }
  dl.facts dd { font-weight: 600; margin-inline-start: auto; text-align: end; }
  .scroll { overflow-x: auto; }
  table { width: 100%; border-collapse: collapse; }
  th, td { padding: var(--gap-2) var(--gap-1); border-top: 1px solid var(--rule); text-align: end; vertical-align: baseline; white-space: nowrap; }
  th:first-child { text-align: start; white-space: normal; }
  thead th { color: var(--ink-soft); font-size: var(--text-small); }
  .compare { display: grid; grid-template-columns: minmax(0, 1fr) minmax(0, 1fr); gap: var(--gap-3); }
  .compare > div { padding: var(--gap-3); border-radius: var(--round); background: var(--sunken); }
  .compare b { display: block; font-size: var(--text-value); }
  .figures { display: grid; gap: var(--gap-6); grid-template-columns: minmax(0, 1fr); }
  ul.plain { display: grid; gap: var(--gap-2); padding: 0; list-style: none; }
  ul.plain li { display: flex; flex-wrap: wrap; gap: var(--gap-1) var(--gap-3); align-items: center; padding-top: var(--gap-2); border-top: 1px solid var(--rule); }
  ul.plain li > span { flex: 1 1 14rem; min-width: 0; }
  form { display: grid; gap: var(--gap-3); }
  label { font-weight: 600; display: grid; gap: var(--gap-1); }
  select { min-height: var(--touch); width: 100%; padding: 0 var(--gap-3); border: 2px solid var(--edge); border-radius: var(--round);
    background: var(--surface); color: var(--ink); font: inherit; }
  .tick { display: flex; align-items: center; gap: var(--gap-3); min-height: var(--touch); cursor: pointer; }
  .tick input { width: 24px; height: 24px; flex: none; accent-color: var(--accent); }
  summary { min-height: 44px; display: flex; align-items: center; font-weight: 600; color: var(--accent); cursor: pointer; }
  summary::before { content: "▸"; margin-inline-end: var(--gap-2); }
  details[open] > summary::before { content: "▾"; }
  summary::-webkit-details-marker { display: none; }
  @media print {
    :host { --surface: #ffffff; --sunken: #ffffff; --ink: #12232b; --ink-soft: #42545c; --accent: #0c4d5c; --rule: #b9c6c6; color: var(--ink); }
    button, form, .tick { display: none !important; } gl-card { border-width: 0; }
  }
`;

export const resultStyles = [shared, buttons, look];
