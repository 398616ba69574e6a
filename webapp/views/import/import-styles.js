import { css } from "lit";

export const importStyles = css`
  :host { display: grid; gap: var(--gap-4); grid-template-columns: minmax(0, 1fr); }
  ul { display: grid; gap: var(--gap-2); padding: 0; list-style: none; }
  .points { padding-inline-start: 1.2em; list-style: disc; gap: var(--gap-1); }
  .stack { display: grid; gap: var(--gap-3); }
  .file { position: relative; overflow: hidden; }
  .file input { position: absolute; inset: 0; opacity: 0; font-size: 2rem; cursor: pointer; }
  .file:focus-within { outline: 3px solid var(--accent); outline-offset: 2px; }
  label { display: grid; gap: var(--gap-1); font-weight: 600; }
  .column { padding: var(--gap-2) var(--gap-3); border: 1px solid var(--rule); border-inline-start: 6px dotted var(--edge); border-radius: var(--round); overflow-wrap: anywhere; }
  .column.matched { border-inline-start: 6px solid var(--accent); }
  .column span { font-weight: 400; }
  select { min-height: var(--touch); width: 100%; min-width: 0; padding: 0 var(--gap-3); border: 2px solid var(--edge); border-radius: var(--round);
    background: var(--surface); color: var(--ink); font: inherit; }
  progress { width: 100%; height: 12px; accent-color: var(--accent); }
  .preview li { display: grid; gap: var(--gap-1); padding: var(--gap-2) 0; border-top: 1px solid var(--rule); }
  .rejected { display: grid; gap: var(--gap-1); max-height: 20rem; overflow: auto; padding: 0; list-style: none; overflow-wrap: anywhere; }
  .rejected li { padding: var(--gap-1) 0; border-top: 1px solid var(--rule); }
`;
