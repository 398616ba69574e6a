import { LitElement, css, html, nothing, svg } from "lit";
import { buttons, shared } from "../elements/shared-style.js";
import { PLOTS, keyOf } from "./outcome-plots.js";
import { drawing } from "./plot-library.js";
import { noteOf, tableOf } from "./graph-tables.js";
import { t } from "../words/words.js";

/** @typedef {{name: string, title: string, n: number, few: boolean, caption: string, missing: string | null, data: any}} Graph */

/** A file is read on paper, whatever the screen's theme. @type {Record<string, string>} */
const PAPER = { "var(--accent)": "#0c4d5c", currentColor: "#12232b" };
const WIDEST = 640;

/** One outcome graph with its caption, its numbers as a table, and itself as a file. */
export class Figure extends LitElement {
  static properties = { graph: { attribute: false }, about: { type: String }, width: { state: true }, fault: { state: true } };

  static styles = [shared, buttons, css`
    :host { display: block; min-width: 0; break-inside: avoid; }
    figure { margin: 0; display: grid; gap: var(--gap-2); grid-template-columns: minmax(0, 1fr); }
    .drawing { color: var(--ink); min-width: 0; overflow: hidden; }
    .drawing svg { direction: ltr; display: block; max-width: 100%; height: auto; background: none; }
    .key { display: flex; flex-wrap: wrap; gap: var(--gap-1) var(--gap-4); list-style: none; padding: 0; }
    .key svg { width: 44px; height: 14px; vertical-align: middle; color: var(--ink); }
    figcaption { display: grid; gap: var(--gap-1); }
    .tools { display: flex; flex-wrap: wrap; gap: var(--gap-2); align-items: center; }
    details { flex: 1 1 12rem; min-width: 0; }
    summary { min-height: 44px; display: flex; align-items: center; font-weight: 600; color: var(--accent); cursor: pointer; }
    summary::before { content: "▸"; margin-inline-end: var(--gap-2); }
    details[open] > summary::before { content: "▾"; }
    summary::-webkit-details-marker { display: none; }
    .scroll { overflow-x: auto; max-height: 22rem; overflow-y: auto; }
    table { border-collapse: collapse; width: 100%; }
    th, td { padding: var(--gap-1) var(--gap-2); border-top: 1px solid var(--rule); text-align: end; }
    th:first-child, td:first-child { text-align: start; }
    @media print { .tools { display: none; } }
  `];

  constructor() {
    super();
    /** @type {Graph | null} */
    this.graph = null;
    this.about = "";
    this.width = 0;
    this.fault = "";
    this.observer = new ResizeObserver(([seen]) => {
      const width = Math.min(Math.floor(seen.contentRect.width), WIDEST);
      if (width > 0) this.width = width;
    });
  }

  connectedCallback() {
    super.connectedCallback();
    this.observer.observe(this);
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    this.observer.disconnect();
  }

  /** @param {Map<string, unknown>} changed */
  updated(changed) {
    if (changed.has("graph") || changed.has("width")) this.draw();
  }

  async draw() {
    const { graph, width } = this;
    if (!graph?.data || !width) return;
    try {
      const plot = await drawing();
      if (graph !== this.graph || width !== this.width) return;
      const drawn = PLOTS[graph.name](plot, graph.data, width);
      // The picture is one thing with one name; its parts have none of their own.
      for (const part of drawn.querySelectorAll("[aria-label]")) part.removeAttribute("aria-label");
      drawn.setAttribute("role", "img");
      drawn.setAttribute("aria-label", `${graph.title}. ${graph.caption}`);
      this.renderRoot.querySelector(".drawing")?.replaceChildren(drawn);
      this.fault = "";
    } catch (reason) {
      this.fault = t.charts.graphCouldNotDrawn(/** @type {Error} */ (reason).message);
    }
  }

  /** The drawing with its words, on white, as a file. */
  save() {
    const drawn = this.renderRoot.querySelector(".drawing svg");
    if (!drawn || !this.graph) return;
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([onPaper(/** @type {SVGSVGElement} */ (drawn), this.graph)], { type: "image/svg+xml" }));
    link.download = `guyline-${this.graph.name.replaceAll("_", "-")}.svg`;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
  }

  render() {
    if (!this.graph) return nothing;
    const { name, title, data, caption, missing, few } = this.graph;
    if (!data) return html`<figure><h3>${title}</h3><p class="soft">${missing}</p></figure>`;
    return html`<figure><h3>${title}</h3><div class="drawing"></div>${this.renderKey(data)}
      ${this.fault ? html`<p role="alert">${this.fault}</p>` : nothing}
      <figcaption><p>${noteOf(name, data)}</p><p class="soft">${caption}${few ? t.charts.soFewEyesSingle : ""}</p></figcaption>
      <div class="tools">${this.renderTable(tableOf(data))}
        <button type="button" @click=${this.save} aria-label=${t.charts.saveAsSvg(title)}>${t.charts.saveAsSvg2}</button></div></figure>`;
  }

  /** @param {any} data */
  renderKey(data) {
    const key = keyOf(data);
    if (!key.length) return nothing;
    return html`<ul class="key">${key.map(({ label, dash, symbol, accent }) => html`<li><svg viewBox="0 0 44 14" aria-hidden="true">${svg`
      <g fill=${accent ? "var(--accent)" : "currentColor"} stroke=${accent ? "var(--accent)" : "currentColor"}><path d="M0 7H44" stroke-width="2.5" stroke-dasharray=${dash}/>
      <path stroke="none" d=${symbol === "circle" ? "M16 7a6 6 0 1 0 12 0a6 6 0 1 0 -12 0" : symbol === "square" ? "M17 2h10v10h-10z" : "M22 1l7 12h-14z"}/></g>`}</svg> ${label}</li>`)}</ul>`;
  }

  /** @param {import("./graph-tables.js").Table} table */
  renderTable({ head, rows }) {
    return html`<details><summary>${t.charts.numbers}</summary><div class="scroll" tabindex="0" role="region" aria-label=${t.charts.numbersGraph}><table>
      <thead><tr>${head.map((word) => html`<th scope="col">${word || html`<span class="unseen">${t.charts.group}</span>`}</th>`)}</tr></thead>
      <tbody>${rows.map(([first, ...rest]) => html`<tr><th scope="row">${first}</th>${rest.map((word) => html`<td>${word}</td>`)}</tr>`)}</tbody></table></div></details>`;
  }
}

/** @param {SVGSVGElement} drawn @param {Graph} graph */
function onPaper(drawn, { name, title, caption, data }) {
  const copy = /** @type {SVGSVGElement} */ (drawn.cloneNode(true));
  const [width, height] = [Number(drawn.getAttribute("width")), Number(drawn.getAttribute("height"))];
  const words = [title, ...keyOf(data).map(({ label, symbol, dash }) => t.charts.line(label, symbol, dash === "none" ? t.charts.solid : t.charts.dashed)),
    ...wrapped(noteOf(name, data), width), ...wrapped(caption, width)].filter(Boolean);
  const tall = height + 24 * words.length + 16;
  copy.setAttribute("xmlns", "http://www.w3.org/2000/svg");
  copy.setAttribute("viewBox", `0 0 ${width} ${tall}`);
  copy.setAttribute("height", String(tall));
  const ground = document.createElementNS(copy.namespaceURI, "rect");
  for (const [key, value] of Object.entries({ width, height: tall, fill: "#ffffff" })) ground.setAttribute(key, String(value));
  copy.querySelector("style")?.after(ground);
  words.forEach((word, line) => copy.append(textLine(word, height + 24 * (line + 1), line === 0)));
  let text = new XMLSerializer().serializeToString(copy);
  for (const [colour, ink] of Object.entries(PAPER)) text = text.replaceAll(colour, ink);
  return text;
}

/** @param {string} word @param {number} top @param {boolean} bold */
function textLine(word, top, bold) {
  const text = document.createElementNS("http://www.w3.org/2000/svg", "text");
  const look = { x: 8, y: top, fill: "currentColor", "font-size": 14, "font-weight": bold ? 700 : 400, "text-anchor": "start" };
  for (const [key, value] of Object.entries(look)) text.setAttribute(key, String(value));
  text.textContent = word;
  return text;
}

/** @param {string} words @param {number} width @returns {string[]} */
function wrapped(words, width) {
  const most = Math.max(Math.floor(width / 7.6), 20);
  /** @type {string[]} */
  const lines = [];
  for (const word of words.split(" ")) {
    const last = lines.at(-1);
    if (last !== undefined && `${last} ${word}`.length <= most) lines[lines.length - 1] = `${last} ${word}`;
    else lines.push(word);
  }
  return lines;
}

customElements.define("gl-figure", Figure);
