/**
 * A sphere, cylinder and axis being typed, in either cylinder form. The sign of the cylinder says which; the core
 * turns it, both forms stand beneath, and the record only ever gets the minus form.
 */
import { html, nothing } from "lit";
import { notation } from "../../elements/notation.js";
import { signed } from "../../elements/format.js";
import { t } from "../../words/words.js";
import { fact } from "./facts.js";
import { LiveAnswer } from "./live-answer.js";
import { cautions } from "./status.js";

/** @typedef {{sphere_d: number, cylinder_d: number, axis_deg: number}} Form */

export class TypedRefraction {
  /**
   * @param {import("lit").ReactiveControllerHost & EventTarget & {drafts: Record<string, string> | null}} host
   * @param {() => Record<string, any>} values where it is typed; keys sphere_d, cylinder_d, axis_deg, vertex_mm
   * @param {() => boolean} [net] whether these lenses correct the eye as they stand; else no equivalent is shown
   */
  constructor(host, values, net = () => true) {
    this.values = values;
    this.net = net;
    this.answer = new LiveAnswer(host, "refraction");
    this.asked = "";
  }

  get typed() {
    const { sphere_d = null, cylinder_d = null, axis_deg = null, vertex_mm = null } = this.values() ?? {};
    return { sphere_d, cylinder_d, axis_deg, vertex_mm, ...notation.request };
  }

  /** Whether anything of it is typed. */
  get begun() {
    return this.typed.sphere_d !== null || this.typed.cylinder_d !== null;
  }

  /** Asks for what is typed, once it can mean something; called before each drawing. */
  follow() {
    const { typed } = this;
    const key = JSON.stringify(typed);
    if (key === this.asked || typed.sphere_d === null || (typed.cylinder_d && typed.axis_deg === null)) return;
    this.asked = key;
    this.answer.follow(typed);
  }

  /** The minus form, once the core has given it for exactly what is typed. @returns {Form | null} */
  get minus() {
    const { answer } = this;
    const current = JSON.stringify(this.typed) === this.asked && answer.value && !answer.stale && !answer.failure;
    return current ? answer.value.minus : null;
  }

  /** Both forms as the core gives them, so that a wrong notation is seen. */
  render() {
    const { answer } = this;
    if (answer.failure && this.begun) return html`<gl-banner kind="caution">${answer.failure.message}</gl-banner>`;
    if (!this.minus) return nothing;
    return html`${cautions(answer.warnings.filter(({ code }) => code === "other_notation"))}
      <p class="shown" data-role="in-words">${t.stage.youEntered(answer.value.words)}</p>${this.forms()}`;
  }

  forms() {
    const { forms, se_12_d } = this.answer.value;
    return html`<dl class="facts" data-role="both-forms">${forms.map((/** @type {any} */ one) => fact(one.label, one.text))}
        ${this.net() ? fact(t.stage.sphericalEquivalentMm, signed(se_12_d, "refraction_d")) : nothing}</dl>`;
  }
}

/** What stands beside the cylinder's field. @returns {string} */
export function cylinderHint() {
  return notation.settings.cylinder_notation === "plus" ? t.stage.plusFormWithSign : t.stage.minusFormWithSign;
}
