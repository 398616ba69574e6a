import { LitElement, css, html, nothing } from "lit";
import { buttons, shared } from "../elements/shared-style.js";
import { offline } from "../store/offline.js";
import { goBack, place } from "../store/update.js";
import { startCore, status } from "../worker/client.js";
import { rich } from "../words/rich.js";
import { t } from "../words/words.js";

/** One quiet line when all is well; the reason in words, and what to do, when it is not. */
export class StatusLine extends LitElement {
  static properties = { trouble: { type: String }, quiet: { type: Boolean }, mayGoBack: { state: true } };

  static styles = [shared, buttons, css`
    :host { display: block; }
    .line { display: flex; flex-wrap: wrap; gap: 0 var(--gap-3); padding: var(--gap-1) var(--gap-4); font-size: var(--text-small);
      line-height: 1.35; color: var(--ink-soft); }
    span { min-width: 0; overflow-wrap: anywhere; }
    b { color: var(--ink); font-weight: 600; }
    progress { width: 100%; height: 6px; accent-color: var(--accent); }
    gl-banner { margin: var(--gap-2) var(--gap-3); }
    gl-banner button { margin-top: var(--gap-2); }
  `];

  constructor() {
    super();
    this.trouble = "";
    this.quiet = false;
    this.mayGoBack = false;
    this.refresh = () => { void this.look(); };
  }

  connectedCallback() {
    super.connectedCallback();
    offline.addEventListener("change", this.refresh);
    status.addEventListener("change", this.refresh);
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    offline.removeEventListener("change", this.refresh);
    status.removeEventListener("change", this.refresh);
  }

  /** A version that fails before it has proved itself can be left. */
  async look() {
    this.requestUpdate();
    if (status.state !== "failed") return;
    this.mayGoBack = (await place().catch(() => null))?.canGoBack ?? false;
  }

  render() {
    return html`${this.renderLine()}${this.renderTrouble()}${this.renderFailure()}${this.renderOvertaken()}`;
  }

  renderOvertaken() {
    if (!offline.overtaken) return nothing;
    return html`<gl-banner kind="caution" heading=${t.update.startedElsewhere}><p>${t.update.finishHereThenLoad}</p></gl-banner>`;
  }

  renderLine() {
    if (this.quiet && offline.state.name === "ready" && status.state === "ready") return nothing;
    return html`<div class="line" role="status"><span>${this.renderOffline()}</span>
      ${status.state === "starting" ? html`<span>… ${status.sentence}</span>` : nothing}
      ${this.renderProgress()}</div>`;
  }

  renderOffline() {
    const { name } = offline.state;
    if (name === "ready") return html`<b>✓ ${offline.sentence}</b>`;
    if (name === "failed" || name === "unsupported") return html`${rich(t.shell.seeSetup(offline.sentence), { b: (words) => html`<b>${words}</b>` })}`;
    return html`… ${offline.sentence}`;
  }

  renderProgress() {
    const { state } = offline;
    if (state.name !== "downloading") return nothing;
    return html`<progress max=${state.total} .value=${state.done} aria-label=${t.shell.download}></progress>`;
  }

  renderTrouble() {
    if (!this.trouble) return nothing;
    return html`<gl-banner kind="stop" heading=${t.shell.notSaved}><p>${t.shell.whatYouEnteredStill(this.trouble.replace(/\.?$/, "."))}</p></gl-banner>`;
  }

  renderFailure() {
    if (status.state !== "failed") return nothing;
    return html`<gl-banner kind="caution" heading=${t.shell.noCalculationsNow}><p>${t.shell.eyesCanReadEntered(status.sentence)}</p>
      <button type="button" @click=${() => startCore()}>${t.shell.startThemAgain}</button>
      ${this.mayGoBack ? html`<button type="button" @click=${() => goBack(t.update.calculationsDidNotStart)}>${t.update.goBack}</button>` : nothing}</gl-banner>`;
  }
}

customElements.define("gl-status-line", StatusLine);
