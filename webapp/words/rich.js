/**
 * A sentence with marked parts, so that a translator may move them: "Open <a>Setup</a> first." with
 * `{ a: (words) => html`<a href="#/setup">${words}</a>` }`. Marks without a part stay text.
 * @param {string} text
 * @param {Record<string, (words: string) => unknown>} parts
 * @returns {unknown[]}
 */
export function rich(text, parts) {
  const pieces = text.split(/<(\w+)>(.*?)<\/\1>/);
  // Split gives text, name, words, text, name, words … text.
  return pieces.map((piece, i) => {
    if (i % 3 === 1) return "";
    if (i % 3 === 0) return piece;
    const name = pieces[i - 1];
    return Object.hasOwn(parts, name) ? parts[name](piece) : `<${name}>${piece}</${name}>`;
  });
}
