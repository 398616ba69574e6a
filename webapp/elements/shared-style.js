// Styles that every element and view repeats inside its own shadow root.
import { css } from "lit";

export const shared = css`
  *, *::before, *::after { box-sizing: border-box; }
  :host { font-variant-numeric: var(--mono-figures); }
  :host([hidden]), [hidden] { display: none !important; }
  h1, h2, h3, p, ul, ol, dl, dd { margin: 0; }
  h1 { font-size: var(--text-heading); line-height: 1.2; font-weight: 700; letter-spacing: -0.01em; }
  h2 { font-size: var(--text-large); line-height: 1.25; font-weight: 700; }
  h3 { font-size: var(--text); line-height: 1.3; font-weight: 700; }
  a { color: var(--accent); text-underline-offset: 0.18em; }
  .soft { color: var(--ink-soft); }
  .small { font-size: var(--text-small); }
  .unseen {
    position: absolute; width: 1px; height: 1px; margin: -1px; overflow: hidden;
    clip-path: inset(50%); white-space: nowrap;
  }
  :focus-visible { outline: 3px solid var(--focus); outline-offset: 2px; }
  @media (prefers-reduced-motion: reduce) {
    *, *::before, *::after { animation: none !important; transition: none !important; }
  }
`;

export const buttons = css`
  button, .button {
    display: inline-flex; align-items: center; justify-content: center; gap: var(--gap-2);
    min-height: var(--touch); min-width: var(--touch); padding: var(--gap-2) var(--gap-4);
    border: 2px solid var(--edge); border-radius: var(--round);
    background: var(--surface); color: var(--ink);
    font: inherit; font-weight: 600; line-height: 1.2; text-align: center; text-decoration: none;
    cursor: pointer; touch-action: manipulation; -webkit-tap-highlight-color: transparent;
    transition: background var(--quick), transform var(--quick);
  }
  button:active, .button:active { background: var(--sunken); transform: translateY(1px); }
  button:disabled { color: var(--ink-soft); border-style: dashed; background: transparent; cursor: default; transform: none; }
  .main { min-height: var(--touch-main); border-color: var(--accent); background: var(--accent); color: var(--on-accent); }
  .main:active { background: var(--ink); color: var(--ground); }
  .main:disabled { border-color: var(--edge); }
  .quiet { border-color: transparent; background: transparent; color: var(--accent); }
  .danger { border-color: var(--stop); color: var(--stop); }
  .wide { width: 100%; }
`;
