import { css } from "lit";
import { shared } from "../elements/shared-style.js";

const frame = css`
  :host { display: grid; height: 100vh; height: 100dvh; grid-template: auto minmax(0, 1fr) auto auto / minmax(0, 1fr);
    background: var(--ground); color: var(--ink); font-size: var(--text); }
  header { background: var(--surface); padding-top: env(safe-area-inset-top); border-bottom: 1px solid var(--rule); }
  /* Its own frame for what is placed out of sight inside: otherwise the whole page would scroll. */
  main { position: relative; overflow-y: auto; overscroll-behavior: contain; -webkit-overflow-scrolling: touch; scroll-padding: 1rem; }
  main.arriving { pointer-events: none; }
  .page { max-width: 46rem; margin: 0 auto; padding: var(--gap-4) var(--gap-3) var(--gap-6); }
  .page.wide { max-width: 60rem; }
  footer { background: var(--surface); border-top: 1px solid var(--rule); }
  header { grid-area: 1 / 1; min-width: 0; }
  main { grid-area: 2 / 1; }
  footer { grid-area: 3 / 1; min-width: 0; }
  gl-keypad { grid-area: 4 / 1; }
  .eye { display: flex; align-items: center; justify-content: space-between; gap: var(--gap-2);
    padding: var(--gap-1) var(--gap-1) var(--gap-1) var(--gap-4); min-height: 52px; color: var(--ink); }
  .eye gl-eye { min-width: 0; }
  .state { display: flex; align-items: center; }
  .state gl-status-line { flex: 1; min-width: 0; }
  .state gl-theme-switch { padding-inline-end: var(--gap-1); }
`;

const navigation = css`
  nav { display: flex; }
  nav a { flex: 1 1 auto; min-width: 0; padding-inline: 2px; display: grid; place-items: center; min-height: 44px; text-align: center; overflow-wrap: anywhere; line-height: 1.15; color: var(--ink-soft); font-weight: 600;
    text-decoration: none; border-block: 3px solid transparent; touch-action: manipulation; }
  nav a[aria-current] { color: var(--accent); font-weight: 800; }
  .stages { padding: 0 var(--gap-3); gap: var(--gap-2); }
  .stages a { font-size: min(var(--text), 5vw); }
  .stages a[aria-current] { border-bottom-color: var(--accent); }
  .places { flex-wrap: wrap; padding-bottom: env(safe-area-inset-bottom); }
  .places a { min-width: auto; max-width: 100%; overflow-wrap: break-word; min-height: 56px; font-size: min(1rem, 7vw); }
  .places a[aria-current] { border-top-color: var(--accent); }
  :focus-visible { outline-offset: -3px; }
`;

const theatre = css`
  :host([theatre]) .eye { padding: var(--gap-1) var(--gap-3); font-size: 22px; }
  :host([theatre]) .page { padding-block: var(--gap-2) 0; }
  :host([theatre]) footer { padding-bottom: env(safe-area-inset-bottom); }
`;

const landscape = css`
  @media (orientation: landscape) and (max-height: 520px) {
    :host { grid-template: auto minmax(0, 1fr) auto / minmax(0, 1fr) auto; }
    gl-keypad { grid-area: 1 / 2 / 4 / 3; min-height: 0; }
    .places a { min-height: 44px; }
    /* Little height: the eye and its stages share a row, and so do undo and the places. */
    header.of-eye { display: flex; flex-wrap: wrap; align-items: center; }
    header.of-eye { font-size: 1rem; }
    .eye { flex: 1 1 auto; padding-block: 0; min-height: 44px; }
    .stages { flex: 0 1 auto; }
    .stages a { padding-inline: var(--gap-2); font-size: 1rem; }
    .state { flex: 1 1 100%; }
    .page { padding-block-start: var(--gap-2); }
    footer { display: flex; align-items: stretch; }
    footer gl-undo { flex: 1 1 0; min-width: 0; }
    footer .places { flex: 1.4 1 0; }
    :host([theatre]) .stages { justify-content: end; }
    :host([theatre]) .stages a { flex: 0 0 auto; padding-inline: var(--gap-3); overflow-wrap: normal; }
  }
`;

const paper = css`
  @media print {
    :host { display: block; height: auto; background: none; }
    header, footer, gl-keypad { display: none; }
    main { overflow: visible; }
    .page, .page.wide { max-width: none; padding: 0; }
  }
`;

export const shellStyles = [shared, frame, navigation, theatre, landscape, paper];
