// The one link between the number fields on a screen and the keypad beneath them.

/**
 * @typedef {HTMLElement & {
 *   press(key: string): void, leave(): void, take(): void,
 *   readonly signed: boolean, readonly text: string, readonly name: string
 * }} NumberField
 */

/** @type {Set<NumberField>} */
const fields = new Set();

/** Fires `change` when another field, or none, is being typed into. */
export const keypadLink = new EventTarget();

/** Long enough for the click that ends a tap to have found its target. */
const TAP_MS = 120;

/** @type {NumberField | null} */
let active = null;
/** @type {NumberField | null} */
let wanted = null;
let down = false;

window.addEventListener("pointerdown", () => { down = true; }, true);
for (const end of ["pointerup", "pointercancel"]) window.addEventListener(end, () => { down = false; }, true);

/**
 * Runs `action` once the tap under way is over. What moves things on the screen waits for this:
 * otherwise a tap that leaves a field would hit something other than what was under the finger.
 * @param {() => void} action
 */
export function afterTap(action) {
  setTimeout(() => (down ? afterTap(action) : action()), TAP_MS);
}

/** The field being typed into. */
export function activeField() {
  return active;
}

/** @param {NumberField} field */
export function join(field) {
  fields.add(field);
}

/** @param {NumberField} field */
export function part(field) {
  fields.delete(field);
  if (wanted === field) wanted = null;
  if (active === field) show();
}

/**
 * The field that a key belongs to: the one with the caret, even while the keypad still shows the
 * one before it. A key never reaches a field that was left.
 */
export function keyField() {
  return wanted;
}

/**
 * From one field to the next the keypad stays where it is, so it follows at once.
 * @param {NumberField | null} field
 */
export function activate(field) {
  wanted = field;
  if (field && active) show();
  else afterTap(show);
}

function show() {
  if (active === wanted) return;
  active = wanted;
  announce();
}

/** Tells the keypad that the text or the field changed. */
export function announce() {
  keypadLink.dispatchEvent(new Event("change"));
}

/** The field after the active one as the eye reads the screen, or null. */
export function nextField() {
  const order = [...fields].filter((field) => field.getClientRects().length > 0).sort(byPlace);
  const here = active ? order.indexOf(active) : -1;
  return here < 0 ? null : (order[here + 1] ?? null);
}

/**
 * @param {NumberField} first
 * @param {NumberField} second
 */
function byPlace(first, second) {
  const a = first.getBoundingClientRect();
  const b = second.getBoundingClientRect();
  return Math.abs(a.top - b.top) > 8 ? a.top - b.top : a.left - b.left;
}
