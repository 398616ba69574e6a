// Prints, as JSON, every text in English that stands in a module of the screens instead of the catalogue.
// node inline_texts.mjs FOLDER FILE...   FOLDER holds node_modules; FILE are absolute.
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";

const [folder, ...files] = process.argv.slice(2);
const ts = createRequire(`${folder}/`)("typescript");

/** Attributes that are read or heard. */
const HEARD = /([\s.?])(aria-label|heading|title|placeholder|label|alt|hint|message|keep|note|caption)="([^"]*)"/g;
/** Keys of objects whose values are shown. */
const SHOWN = new Set(["word", "label", "heading", "title", "hint", "note", "message", "caption"]);
/** Units, file kinds, names in trade use: the same in every language. */
const SAME = new Set(["mm", "mmHg", "SD", "MB", "kB", "GB", "CSV", "SVG", "logMAR", "Guyline", "RMSE", "IOP", "Enter", "Escape", "Tab",
  "Home", "End", "Delete", "Backspace"]);
/** Calls whose text is for the browser, not for a reader. */
const MACHINE = new Set(["querySelector", "querySelectorAll", "closest", "matches", "matchMedia", "addEventListener", "removeEventListener",
  "CustomEvent", "Event", "define", "getAttribute", "hasAttribute", "toggleAttribute", "removeAttribute", "createElement", "setProperty",
  "includes", "startsWith", "endsWith", "replace", "split", "join", "has", "get", "set", "ask", "RegExp", "NumberFormat", "runPython"]);

/** A mark and a word, "✓ done"; a word with an apostrophe in it, "o’clock". */
const MARKED = /^[✓✕!?±○…] ?[a-z]{2,}$|[a-z]’[a-z]{2}/;

const wordy = (/** @type {string} */ text) => (text.match(/[A-Za-z]{2,}/g) ?? []).some((word) => !SAME.has(word));
const sentence = (/** @type {string} */ text) => /[A-Za-z]{2,}[,;:.]? +[A-Za-z({\u0001]|\u0001 [A-Za-z]{2}/.test(text);
const title = (/** @type {string} */ text) => /^[A-Z][a-z]+(-[a-z]+)?[.:!?\u2026]?$/.test(text);
const classes = (/** @type {string} */ text) => /^[a-z]+(-[a-z]+)*( [a-z]+(-[a-z]+)*)*$/.test(text);
const machine = (/** @type {string} */ text) => /^[#./]|^gl-|^M ?-?\d|=>|^https?:|^data:|^--|;$|-serif$/.test(text);

/** @param {string} file */
function texts(file) {
  const source = ts.createSourceFile(file, readFileSync(file, "utf8"), ts.ScriptTarget.ES2022, true, ts.ScriptKind.JS);
  const found = [];
  const note = (node, text) => found.push({ file, line: source.getLineAndCharacterOfPosition(node.getStart(source)).line + 1, text: text.replaceAll("\u0001", "…").trim() });
  const joined = (template) => (ts.isTemplateExpression(template)
    ? [template.head.text, ...template.templateSpans.map((span) => span.literal.text)].join("\u0001") : template.text);

  /** What stands between tags, and what is said of an element. */
  function markup(node) {
    const text = joined(node.template);
    for (const [, , name, value] of text.matchAll(HEARD)) if (wordy(value)) note(node, `${name}=${value}`);
    const outside = text.replace(/<!--[^]*?-->/g, "\u0002").replace(/<(?:"[^"]*"|[^">])*>/g, "\u0002");
    for (const part of outside.split("\u0002")) if (wordy(part)) note(node, part);
    if (!ts.isTemplateExpression(node.template)) return;
    let before = "";
    [node.template.head, ...node.template.templateSpans.map((span) => span.literal)].forEach((literal, i) => {
      before += literal.text;
      const span = node.template.templateSpans[i];
      if (span) visit(span.expression, before.lastIndexOf("<") > before.lastIndexOf(">") ? "attribute" : "shown");
      before += "\u0001";
    });
  }

  function forMachine(node) {
    const { parent } = node;
    if (ts.isPropertyAssignment(parent) && parent.name === node) return true;
    if (ts.isBinaryExpression(parent) && /^[!=]==$|^in$/.test(parent.operatorToken.getText(source))) return true;
    if (ts.isCaseClause(parent) || ts.isElementAccessExpression(parent) || ts.isLiteralTypeNode?.(parent)) return true;
    if (ts.isCallExpression(parent) || ts.isNewExpression(parent)) return MACHINE.has(parent.expression.getText(source).split(".").pop());
    return false;
  }

  function english(node, text, where) {
    if (forMachine(node) || !wordy(text)) return false;
    const key = ts.isPropertyAssignment(node.parent) ? node.parent.name.getText(source) : "";
    if (SHOWN.has(key)) return !/^[a-z]+([_-][a-z]+)+$/.test(text);
    if (where === "shown") return !/_/.test(text);
    if (where === "attribute" && classes(text) || machine(text)) return false;
    if (MARKED.test(text)) return true;
    return sentence(text) && !(classes(text) && /\b(stack|row|quiet|main|wide|small|soft|facts|finding)\b/.test(text)) || title(text);
  }

  function visit(node, where) {
    if (ts.isImportDeclaration(node) || ts.isExportDeclaration(node)) return;
    if (ts.isTaggedTemplateExpression(node)) {
      if (["html", "svg"].includes(node.tag.getText(source))) markup(node);
      return;
    }
    if (ts.isStringLiteral(node) || ts.isNoSubstitutionTemplateLiteral(node) || ts.isTemplateExpression(node)) {
      const text = ts.isStringLiteral(node) ? node.text : joined(node);
      if (english(node, text, where)) note(node, text);
      if (ts.isTemplateExpression(node)) node.templateSpans.forEach((span) => visit(span.expression, where));
      return;
    }
    // Only what a choice ends in is shown itself; what is looked up or computed is judged by its form.
    if (ts.isConditionalExpression(node)) {
      visit(node.condition, "");
      [node.whenTrue, node.whenFalse].forEach((branch) => visit(branch, where));
      return;
    }
    const passes = ts.isParenthesizedExpression(node) || ts.isBinaryExpression(node) && /^(\|\||\?\?|&&|\+)$/.test(node.operatorToken.getText(source));
    ts.forEachChild(node, (child) => visit(child, passes ? where : ""));
  }

  visit(source, "");
  return found;
}

console.log(JSON.stringify(files.flatMap(texts)));
