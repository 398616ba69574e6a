/** Styles of the page about the own eyes. */
import { css } from "lit";

export const learningStyles = css`
  .value { display: flex; flex-wrap: wrap; align-items: baseline; gap: 0 var(--gap-3); }
  .value strong { font-size: var(--text-answer); line-height: 1.15; white-space: nowrap; }
  .value span { white-space: nowrap; }
  .eyes { list-style: none; padding: 0; display: grid; gap: 0; }
  .eyes li { display: flex; flex-wrap: wrap; align-items: center; gap: var(--gap-1) var(--gap-3); padding-block: var(--gap-1); border-block-start: 1px solid var(--rule); }
  .eyes a { display: inline-flex; align-items: center; min-height: var(--touch); font-weight: 700; color: var(--accent); }
  .eyes strong { margin-inline-start: auto; font-variant-numeric: tabular-nums; }
  .reason { flex: 1 1 12rem; }
  .why { flex-basis: 100%; display: grid; gap: var(--gap-2); }
`;
