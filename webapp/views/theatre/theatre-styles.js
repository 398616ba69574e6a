/** Very large type for the theatre: read at arm's length and beyond, touched with gloves. */
import { css } from "lit";

export const theatreStyles = css`
  :host { --text-small: 20px; --text: 24px; --text-large: 32px; --text-heading: 34px; --text-value: 44px; --text-answer: 64px;
    font-size: var(--text); line-height: 1.3; }
  .step { display: grid; gap: var(--gap-4); align-content: start; min-height: 55vh; }
  .result, .expected { display: grid; gap: var(--gap-3); }
  .expected { gap: 0; }
  .step-title { display: flex; justify-content: space-between; align-items: center; gap: var(--gap-2); }
  .step-title h2 { font-size: 30px; line-height: 1.1; }
  .step-title button { flex: none; font-size: 20px; padding-inline: var(--gap-2); }
  .say, .lever { font-size: 32px; line-height: 1.2; }
  .lever { padding-inline-start: var(--gap-3); border-inline-start: 6px solid var(--accent); }
  .answer { padding: var(--gap-3); border: 3px solid var(--accent); border-radius: var(--round); background: var(--accent-soft); }
  .answer-label { font-size: 28px; color: var(--ink-soft); }
  .answer-value { display: block; font-size: clamp(60px, 17vw, 84px); font-weight: 800; line-height: 1.05; white-space: nowrap; }
  .answer-word { font-size: 44px; font-weight: 800; line-height: 1.12; }
  .clock { font-size: 32px; font-weight: 700; }
  .two { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(14rem, 100%), 1fr)); gap: var(--gap-2) var(--gap-4); }
  .value { font-size: 52px; font-weight: 800; line-height: 1.1; white-space: nowrap; }
  .big-facts { display: grid; gap: var(--gap-1); }
  .big-facts dt { color: var(--ink-soft); font-size: 24px; }
  .big-facts dd { font-size: 34px; font-weight: 700; line-height: 1.15; margin-block-end: var(--gap-2); overflow-wrap: break-word; }
  .readings, .log { list-style: none; padding: 0; display: grid; gap: var(--gap-3); }
  .reading, .log li { padding: var(--gap-3); border: 2px solid var(--rule); border-radius: var(--round); }
  .reading-value strong { font-size: 44px; white-space: nowrap; }
  .rank { color: var(--ink-soft); }
  .gone .reading-value, .log .gone > p:first-child { text-decoration: line-through; color: var(--ink-soft); }
  .withdraw, .entry { display: grid; gap: var(--gap-3); }
  .neighbours { font-size: 24px; }
  .neighbours td { white-space: nowrap; padding-inline: 0; }
  tr.advised td { font-weight: 800; background: var(--accent-soft); }
  nav { position: sticky; inset-block-end: 0; z-index: 5; display: grid; grid-template-columns: 1fr 2fr; gap: var(--gap-3);
    padding-block: var(--gap-3) max(var(--gap-3), env(safe-area-inset-bottom)); background: var(--ground); margin-block-start: var(--gap-4); }
  nav button { min-height: 90px; font-size: 28px; }
  .neighbours th { font-size: 18px; }
  @media (max-width: 359px) { nav button { font-size: 22px; padding-inline: var(--gap-1); min-height: 76px; } }
  @media (orientation: landscape) and (max-height: 520px) { nav { margin-block-start: var(--gap-2); padding-block: var(--gap-1); } nav button { min-height: 56px; font-size: 24px; }
    .step { min-height: 0; gap: var(--gap-3); } .step-title h2 { font-size: 26px; } }
  .read-line { min-height: 76px; font-size: 28px; }
  gl-hold { scroll-margin-block-end: 130px; }
  .read-line .what { font-weight: 600; line-height: 1.15; }
`;
