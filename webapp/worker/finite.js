// Numbers that JSON cannot carry never cross the boundary, in either direction.

/** The dotted path of the first NaN or infinity, or null.
 * @param {unknown} value @param {string} [path] @returns {string | null} */
export function nonFinitePath(value, path = "") {
  if (typeof value === "number") return Number.isFinite(value) ? null : path;
  if (typeof value !== "object" || value === null) return null;
  for (const [key, inner] of Object.entries(value)) {
    const below = Array.isArray(value) ? `${path}[${key}]` : path ? `${path}.${key}` : key;
    const found = nonFinitePath(inner, below);
    if (found !== null) return found;
  }
  return null;
}
