import { LitElement, css, html } from "lit";
import { fieldOf } from "../../elements/format.js";
import { notation } from "../../elements/notation.js";
import { buttons, shared } from "../../elements/shared-style.js";
import { t } from "../../words/words.js";
import { LiveAnswer } from "../stage/live-answer.js";

/** @typedef {import("../../elements/notation.js").Settings} Settings */

const NAMES = /** @type {Array<keyof Settings>} */ (["cylinder_notation", "decimal_mark", "corneal_notation", "acuity_first"]);
/** Written by no eye: shows what the choices do. */
const EXAMPLE = { sphere_d: -0.5, cylinder_d: -1.5, axis_deg: 120 };

/** How quantities are typed and shown. Fires `notation-chosen` {settings}. */
export class NotationCard extends LitElement {
  static styles = [shared, buttons, css`
    .stack { display: grid; gap: var(--gap-4); }
    dl { display: grid; gap: var(--gap-1); padding: var(--gap-3); background: var(--sunken); border-radius: var(--round); }
    dl div { display: flex; flex-wrap: wrap; gap: 0 var(--gap-3); justify-content: space-between; }
    dt { color: var(--ink-soft); } dd { font-weight: 600; }
  `];

  constructor() {
    super();
    this.refraction = new LiveAnswer(this, "refraction");
    this.acuity = new LiveAnswer(this, "acuity");
    this.again = () => this.ask();
  }

  connectedCallback() {
    super.connectedCallback();
    notation.addEventListener("change", this.again);
    this.ask();
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    notation.removeEventListener("change", this.again);
  }

  ask() {
    this.refraction.follow({ ...EXAMPLE, ...notation.request });
    this.acuity.follow({ text: "6/12", ...notation.request });
    this.requestUpdate();
  }

  /** @param {CustomEvent} event */
  choose({ detail }) {
    const settings = { ...notation.settings, [detail.path.split(".")[1]]: detail.value };
    this.dispatchEvent(new CustomEvent("notation-chosen", { detail: { settings }, bubbles: true, composed: true }));
  }

  render() {
    return html`<gl-card heading=${t.setup.notation} note=${t.setup.notationNote}>
      <div class="stack" @commit=${this.choose}>${NAMES.map((name) => html`<gl-choice local field=${name} path=${`notation.${name}`}
        hint=${fieldOf(name).meaning} .value=${notation.settings[name]}></gl-choice>`)}${this.renderExample()}</div></gl-card>`;
  }

  renderExample() {
    const forms = this.refraction.value?.forms ?? [];
    if (!forms.length) return html`<p class="soft" role="status">${t.setup.exampleAppears}</p>`;
    return html`<dl aria-label=${t.setup.example}>${forms.map((/** @type {any} */ one) => html`<div><dt>${one.label}</dt><dd>${one.text}</dd></div>`)}
      <div><dt>${t.setup.acuity}</dt><dd>${this.acuity.value?.shown ?? ""}</dd></div></dl>`;
  }
}

customElements.define("gl-notation-card", NotationCard);
