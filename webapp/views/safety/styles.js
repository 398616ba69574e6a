import { css } from "lit";
import { buttons, shared } from "../../elements/shared-style.js";

const layout = css`
  :host { display: grid; gap: var(--gap-4); grid-template-columns: minmax(0, 1fr); }
  .stack { display: grid; gap: var(--gap-3); grid-template-columns: minmax(0, 1fr); }
  .row { display: flex; flex-wrap: wrap; gap: var(--gap-2); }
  .row > * { flex: 1 1 9rem; }
  label { display: block; font-weight: 600; }
  .tick { display: flex; align-items: center; gap: var(--gap-2); min-height: 44px; }
  .tick input { width: 24px; height: 24px; }
  input[type="file"] { display: block; width: 100%; min-height: var(--touch); margin-top: var(--gap-1); font: inherit; }
  input[type="password"], input[type="text"], select { display: block; width: 100%; min-height: var(--touch-main); margin-top: var(--gap-1);
    padding: 0 var(--gap-3); border: 2px solid var(--edge); border-radius: var(--round); background: var(--surface); color: var(--ink); font: inherit; }
  dl { display: grid; grid-template-columns: minmax(0, auto) minmax(0, 1fr); gap: var(--gap-1) var(--gap-4); }
  dt { color: var(--ink-soft); } dd { font-weight: 600; text-align: end; overflow-wrap: anywhere; }
  ul { display: grid; gap: var(--gap-1); padding-inline-start: 1.2em; }
  .recovery { display: block; padding: var(--gap-3); border: 2px dashed var(--edge); border-radius: var(--round); background: var(--sunken);
    font-size: var(--text-large); font-weight: 700; letter-spacing: 0.06em; text-align: center; word-spacing: 0.5em; }
  summary { min-height: 44px; display: flex; align-items: center; font-weight: 600; color: var(--accent); cursor: pointer; }
  summary::before { content: "▸"; margin-inline-end: var(--gap-2); }
  details[open] > summary::before { content: "▾"; }
  summary::-webkit-details-marker { display: none; }
  pre { white-space: pre-wrap; overflow-wrap: anywhere; max-height: 16rem; overflow: auto; padding: var(--gap-3); background: var(--sunken);
    border-radius: var(--round-small); font-size: var(--text-small); }
  .pair { display: grid; grid-template-columns: repeat(2, minmax(0, 1fr)); gap: var(--gap-2); }
  .pair button { display: grid; gap: var(--gap-1); align-content: start; text-align: start; justify-items: start; overflow-wrap: anywhere; }
  .pair button[aria-pressed="true"] { border-color: var(--accent); background: var(--accent-soft); }
  .choices { list-style: none; padding: 0; gap: var(--gap-3); }
`;

export const safetyStyles = [shared, buttons, layout];
