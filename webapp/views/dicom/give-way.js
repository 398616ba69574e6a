/**
 * Text that was typed and not yet accepted gives way to a value that is taken from a file; otherwise the
 * record would hold one number and its field show another.
 * @param {EventTarget} view @param {string} place path in front of the names @param {Record<string, any>} values
 */
export function giveWay(view, place, values) {
  const root = /** @type {import("lit").LitElement} */ (view).renderRoot;
  for (const field of root.querySelectorAll("gl-number")) {
    const number = /** @type {import("../../elements/gl-number.js").GlNumber} */ (field);
    if (number.typed && number.path.startsWith(`${place}.`) && number.path.slice(place.length + 1) in values) number.discard();
  }
}
