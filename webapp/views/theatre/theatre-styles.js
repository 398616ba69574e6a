/**
 * Very large type for the theatre: read across the table, touched with gloves through a film. Sizes are floors in
 * pixels that grow with the text size of the phone.
 */
import { css } from "lit";

const type = css`
  :host { --text-small: max(20px, 1.1rem); --text: max(24px, 1.3rem); --text-large: max(32px, 1.5rem); --text-heading: max(34px, 1.6rem);
    --text-value: max(44px, 1.9rem); --text-answer: max(64px, 2.4rem); display: block; font-size: var(--text); line-height: 1.3; }
  :host([arriving]) { pointer-events: none; }
  .say, .lever { font-size: var(--text-large); line-height: 1.2; overflow-wrap: break-word; }
  .lever { padding-inline-start: var(--gap-3); border-inline-start: 6px solid var(--accent); }
  .value { font-size: max(52px, 2rem); font-weight: 800; line-height: 1.1; white-space: nowrap; }
`;

const steps = css`
  .step { display: grid; grid-template-columns: minmax(0, 1fr); gap: var(--gap-4); align-content: start; min-height: 55vh; }
  .result, .expected { display: grid; grid-template-columns: minmax(0, 1fr); gap: var(--gap-3); }
  .expected { gap: 0; }
  .expected .say { font-size: max(26px, var(--text)); }
  .step-title { display: grid; grid-template-columns: minmax(min-content, 1fr) auto; align-items: center; gap: 0 var(--gap-2); }
  .step-title h2 { font-size: max(30px, 1.4rem); line-height: 1.1; grid-row: span 2; }
  .step-title button { font-size: 20px; padding-inline: var(--gap-2); min-height: 48px; }
  .lit { font-size: 16px; color: var(--ink-soft); text-align: center; line-height: 1.2; }
  .fields, .pairs { grid-template-columns: repeat(auto-fill, minmax(min(15rem, 100%), 1fr)); align-items: start; }
  nav { position: sticky; inset-block-end: 0; z-index: 5; display: grid;
    grid-template-columns: minmax(min-content, 1fr) minmax(min-content, 2fr); gap: var(--gap-3);
    padding-block: var(--gap-3) max(var(--gap-3), env(safe-area-inset-bottom)); background: var(--ground); margin-block-start: var(--gap-4); }
  nav button { min-height: 90px; font-size: 28px; }
  @media (max-width: 359px) { .step-title h2 { font-size: 26px; } nav button { font-size: 22px; padding-inline: var(--gap-1); min-height: 76px; } }
  .read-line { min-height: 90px; font-size: max(28px, var(--text)); }
  .read-line .what { font-weight: 600; line-height: 1.15; }
  .said { display: grid; grid-template-columns: minmax(0, 1fr) auto; gap: var(--gap-3); align-items: center; padding: var(--gap-3);
    border: 2px solid var(--rule); border-radius: var(--round); }
  .said small { display: block; color: var(--ink-soft); font-size: var(--text-small); }
  .aside { display: grid; gap: var(--gap-2); padding-block-start: var(--gap-3); border-block-start: 2px solid var(--rule); }
`;

const answers = css`
  .answer { padding: var(--gap-3); border: 3px solid var(--accent); border-radius: var(--round); background: var(--accent-soft); }
  .answer.looked-at, .answer.own { border-style: dashed; border-color: var(--caution); background: var(--caution-soft); }
  .not-advised { color: var(--caution); font-size: max(28px, var(--text)); font-weight: 800; line-height: 1.15; }
  .not-advised::before { content: "! "; }
  .answer-label { font-size: max(28px, var(--text)); color: var(--ink-soft); line-height: 1.15; }
  .answer-value { display: block; font-size: clamp(60px, 17vmin, 84px); font-weight: 800; line-height: 1.05; white-space: nowrap; }
  .answer-word { font-size: 44px; font-weight: 800; line-height: 1.12; }
  .clock { font-size: max(28px, var(--text)); font-weight: 700; line-height: 1.1; }
  .two { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(17rem, 100%), 1fr)); gap: var(--gap-1) var(--gap-5); }
  .levers { display: grid; gap: var(--gap-3); }
  .keys { display: grid; grid-template-columns: 1fr 1fr; gap: var(--gap-3); }
  .keys button { min-height: 90px; font-size: max(26px, var(--text)); padding-inline: var(--gap-2); }
  .others { display: grid; gap: var(--gap-2); padding-block-start: var(--gap-3); border-block-start: 2px solid var(--rule); font-size: var(--text); }
  .others ul { list-style: none; padding: 0; display: grid; gap: var(--gap-4); }
  .others li { padding-inline-start: var(--gap-3); border-inline-start: 4px solid var(--rule); }
  .others .closed { color: var(--ink-soft); }
  .big-facts { display: grid; gap: var(--gap-1); }
  .big-facts dt { color: var(--ink-soft); font-size: var(--text); }
  .big-facts dd { font-size: max(34px, 1.5rem); font-weight: 700; line-height: 1.15; margin-block-end: var(--gap-2); overflow-wrap: break-word; }
  .big-facts dd.value { font-size: max(52px, 2rem); }
`;

const lists = css`
  .readings, .log { list-style: none; padding: 0; display: grid; gap: var(--gap-3); }
  .reading, .log li { padding: var(--gap-3); border: 2px solid var(--rule); border-radius: var(--round); }
  .reading { display: grid; grid-template-columns: minmax(0, 1fr) auto; align-items: center; gap: 0 var(--gap-2); }
  .reading > .withdraw, .reading > p:not(.reading-value) { grid-column: 1 / -1; }
  .reading-value { display: flex; flex-wrap: wrap; align-items: baseline; gap: 0 var(--gap-3); }
  .reading-value strong { font-size: max(44px, 1.8rem); white-space: nowrap; line-height: 1.1; }
  .rank { color: var(--ink-soft); }
  .gone .reading-value, .log .gone > p:first-child { text-decoration: line-through; color: var(--ink-soft); }
  .withdraw, .entry { display: grid; grid-template-columns: minmax(0, 1fr); gap: var(--gap-3); }
  gl-hold { scroll-margin-block-end: 130px; }
`;

/** A phone on its side: the way on stands beside, not beneath, so that the answer is whole. */
const onItsSide = css`
  @media (orientation: landscape) and (max-height: 520px) {
    :host { display: grid; grid-template-columns: minmax(0, 1fr) auto; gap: var(--gap-3); align-items: start; }
    .step { min-height: 0; gap: var(--gap-2); }
    nav { grid-template-columns: 8.5rem; inset-block: 0 auto; margin: 0; padding: 0; background: none; }
    nav button, nav .main { min-height: 72px; font-size: 24px; padding-inline: var(--gap-1); }
    .step-title h2 { font-size: 24px; }
    .step-title button { min-height: 44px; }
  }
`;

export const theatreStyles = [type, steps, answers, lists, onItsSide];
