/** Styles the three stages share: cards of fields, results with their state, read-back lines. */
import { css } from "lit";
import { buttons, shared } from "../../elements/shared-style.js";

const layout = css`
  :host { display: block; }
  .fields { display: grid; gap: var(--gap-4); grid-template-columns: repeat(auto-fill, minmax(min(16rem, 100%), 1fr)); }
  .pairs { display: grid; gap: var(--gap-3); grid-template-columns: repeat(auto-fit, minmax(min(8.5rem, 100%), 1fr)); align-items: end; }
  .stack { display: grid; grid-template-columns: minmax(0, 1fr); gap: var(--gap-4); }
  .hint { color: var(--ink-soft); font-size: var(--text-small); }
  .cautions { display: grid; gap: var(--gap-2); }
  .result { transition: opacity var(--quick); }
  .result.stale { opacity: 0.42; }
  .stale-mark, .waiting {
    display: inline-block; padding: 0.15em 0.6em; border: 2px dashed var(--caution); border-radius: var(--round-small);
    color: var(--caution); background: var(--caution-soft); font-weight: 700; margin-block-end: var(--gap-2);
  }
  .waiting { border-color: var(--edge); color: var(--ink-soft); background: transparent; font-weight: 400; }
  .link {
    display: inline; min-height: 44px; padding: 0 var(--gap-2); border: 0; background: none; color: inherit;
    text-decoration: underline; text-underline-offset: 0.18em; font-weight: 700;
  }
  .scroll { overflow-x: auto; }
  table { width: 100%; border-collapse: collapse; }
  th, td { padding: var(--gap-2) var(--gap-1); border-block-start: 1px solid var(--rule); text-align: end; vertical-align: baseline; }
  th:first-child, td:first-child { text-align: start; }
  th { font-weight: 600; color: var(--ink-soft); font-size: var(--text-small); overflow-wrap: anywhere; hyphens: auto; }
  dl.facts { display: grid; gap: var(--gap-2); }
  dl.facts div { display: flex; flex-wrap: wrap; justify-content: space-between; gap: 0 var(--gap-3); }
  dl.facts dt { color: var(--ink-soft); }
  dl.facts dd { font-weight: 600; margin-inline-start: auto; text-align: end; }
`;

const readLines = css`
  .read-lines { list-style: none; padding: 0; display: grid; gap: var(--gap-2); margin-block-end: var(--gap-3); }
  .read-line {
    display: grid; grid-template-columns: 1.6em minmax(0, 1fr); gap: var(--gap-3); width: 100%;
    min-height: var(--touch-main); text-align: start; align-items: center;
  }
  .read-line small { display: block; font-weight: 400; color: var(--ink-soft); font-size: var(--text-small); }
  .read-line strong { display: block; font-size: var(--text-large); overflow-wrap: break-word; }
  .read-line .tick {
    display: grid; place-items: center; width: 1.5em; height: 1.5em; border: 2px solid var(--edge);
    border-radius: var(--round-small); font-weight: 800;
  }
  .read-line[aria-pressed="true"] { border-color: var(--done); background: var(--done-soft); }
  .read-line[aria-pressed="true"] .tick { background: var(--done); border-color: var(--done); color: var(--surface); }
`;

export const stageStyles = [shared, buttons, layout, readLines];
