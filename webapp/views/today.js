/** The date here, not in Greenwich: YYYY-MM-DD. */
export function today() {
  const date = new Date();
  const two = (/** @type {number} */ part) => String(part).padStart(2, "0");
  return `${date.getFullYear()}-${two(date.getMonth() + 1)}-${two(date.getDate())}`;
}
