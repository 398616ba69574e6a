// What is wrong with the words on the screen now: left in English, cut off, or out of the window.
([same, width]) => {
  const found = { untranslated: [], clipped: [], outside: [] };
  const known = new RegExp(same, "g");
  // Case codes, dates and numbers as they are stored.
  const plain = (text) => text.replace(known, " ").replace(/\b[0-9A-Z]{4}-?[0-9A-Z]{4}\b/g, " ");
  const path = (element) => {
    const root = element.getRootNode();
    const host = root instanceof ShadowRoot ? `${root.host.localName} ` : "";
    return `${host}${element.localName}${element.className && typeof element.className === "string" ? `.${element.className.split(" ").join(".")}` : ""}`;
  };
  const parent = (element) => element.parentElement ?? (element.getRootNode() instanceof ShadowRoot ? element.getRootNode().host : null);
  const scrolls = (element) => {
    for (let one = element; one && one.localName !== "main"; one = parent(one)) {
      if (/auto|scroll/.test(getComputedStyle(one).overflowX)) return true;
    }
    return false;
  };
  const seen = (element) => {
    const box = element.getBoundingClientRect();
    return element.checkVisibility({ opacityProperty: true, visibilityProperty: true }) && box.width > 1 && box.height > 1;
  };
  const kept = (element) => element.closest("[translate=no]") !== null;
  const words = (element, text) => {
    if (kept(element)) return;
    const left = plain(text).match(/[A-Za-z]{2,}/g);
    if (left) found.untranslated.push(`${path(element)}: ${text.trim()}`);
  };
  const fits = (element, node) => {
    const range = document.createRange();
    range.selectNodeContents(node);
    const box = range.getBoundingClientRect();
    if ((box.left < -1 || box.right > width + 1) && !scrolls(element)) found.outside.push(`${path(element)}: ${node.data.trim()}`);
    const style = getComputedStyle(element);
    if (style.display.startsWith("inline") || element.namespaceURI.endsWith("svg") || scrolls(element)) return;
    if (element.scrollWidth > element.clientWidth + 1) found.clipped.push(`${path(element)}: ${node.data.trim()}`);
    if (style.overflowY === "hidden" && element.scrollHeight > element.clientHeight + 2) found.clipped.push(`${path(element)}: ${node.data.trim()} (height)`);
  };
  const walk = (root) => {
    for (const element of root.querySelectorAll("*")) {
      if (element.shadowRoot) walk(element.shadowRoot);
      if (["style", "script", "option", "pre"].includes(element.localName) || !seen(element)) continue;
      for (const name of ["aria-label", "title", "placeholder", "alt"]) if (element.hasAttribute(name)) words(element, element.getAttribute(name));
      for (const node of element.childNodes) {
        if (node.nodeType !== Node.TEXT_NODE || !node.data.trim()) continue;
        words(element, node.data);
        fits(element, node);
      }
    }
  };
  walk(document);
  const shell = document.querySelector("gl-shell").shadowRoot;
  const main = shell.querySelector("main");
  if (main.scrollWidth > main.clientWidth || document.documentElement.scrollWidth > width) found.outside.push("the screen scrolls sideways");
  return found;
}
