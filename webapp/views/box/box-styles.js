/** Styles of the Box only. */
import { css } from "lit";

export const boxStyles = css`
  :host { display: grid; gap: var(--gap-4); grid-template-columns: minmax(0, 1fr); }
  ul { list-style: none; margin: 0; padding: 0; display: grid; gap: var(--gap-2); }
  .row {
    display: flex; flex-wrap: wrap; justify-content: space-between; gap: 0 var(--gap-3); align-items: center;
    padding: var(--gap-2) var(--gap-3); border: 1px solid var(--rule); border-inline-start-width: 8px; border-radius: var(--round);
  }
  .row strong { font-size: var(--text-large); white-space: nowrap; }
  .row.expired, .row.no_constant { border-color: var(--stop); }
  .row.soon { border-color: var(--caution); }
  .row.empty strong { color: var(--ink-soft); }
  .row .note { flex: 1 0 100%; font-weight: 600; }
  .row.expired .note, .row.no_constant .note { color: var(--stop); }
  .row.soon .note { color: var(--caution); }
  .row .more { flex: 1 0 100%; min-width: 0; }
  .counter { display: grid; grid-template-columns: var(--touch) minmax(2em, auto) var(--touch); margin-inline-start: auto; align-items: center; text-align: center; }
  .counter b { font-size: var(--text-large); }
  .counter button { padding: 0; font-size: 1.3em; }
  .head { display: flex; flex-wrap: wrap; justify-content: space-between; align-items: center; gap: 0 var(--gap-3); }
  summary { min-height: var(--touch); display: flex; align-items: center; font-weight: 600; cursor: pointer; color: var(--accent); }
  summary::before { content: "▸"; margin-inline-end: var(--gap-2); }
  details[open] > summary::before { content: "▾"; }
  summary::-webkit-details-marker { display: none; }
  .undo { position: sticky; bottom: 0; z-index: 1; margin-inline: calc(-1 * var(--gap-2)); }
  .pick { display: flex; align-items: center; gap: var(--gap-3); min-height: var(--touch); cursor: pointer; flex: 1 1 14rem; min-width: 0; }
  .pick input { width: 24px; height: 24px; flex: none; accent-color: var(--accent); }
  .listed { display: flex; flex-wrap: wrap; align-items: center; gap: 0 var(--gap-3); padding: var(--gap-2) var(--gap-3);
    border: 1px solid var(--rule); border-radius: var(--round); }
  select { min-height: var(--touch); min-width: 6rem; padding: 0 var(--gap-3); font: inherit; color: var(--ink); background: var(--surface);
    border: 2px solid var(--edge); border-radius: var(--round-small); }
  .set li { display: flex; gap: var(--gap-3); font-size: var(--text-large); font-weight: 600; }
  .set b { min-width: 2.6em; text-align: end; }
  .eye { padding: var(--gap-3); border: 1px solid var(--rule); border-radius: var(--round); display: grid; gap: var(--gap-1); }
  .eye dl { display: grid; gap: var(--gap-1); }
  .eye dl div { display: flex; flex-wrap: wrap; justify-content: space-between; gap: 0 var(--gap-3); }
  .eye dt { color: var(--ink-soft); }
  .eye dd { font-weight: 600; margin-inline-start: auto; text-align: end; }
  .lacks { color: var(--stop); font-weight: 600; }
  .buttons { display: flex; flex-wrap: wrap; gap: var(--gap-2); }
`;
