/** A reading being entered: what each screen still lacks, and the record it becomes. */
import { stamp } from "../stage/records.js";
import { t } from "../../words/words.js";

/** @typedef {Record<string, number | string | boolean | null>} Form */
/** @typedef {import("../stage/typed-refraction.js").Form} Minus */

/**
 * What is still missing on a screen of the new reading, in words.
 * @param {Form} form @param {string} step @param {boolean} first whether it is the eye's first reading
 * @param {Minus | null} minus the typed sphere and cylinder in minus form, once the core has given it
 * @returns {string[]}
 */
export function lacking(form, step, first, minus) {
  if (step === "where") return lackingWhere(form, first);
  if (step === "reading") return lackingValue(form, minus);
  if (step === "eye") return named(form, { iop_mmhg: t.theatre.iop, infusion: t.theatre.infusion, fill: t.theatre.fill,
    iridectomy_done: t.theatre.iridectomy });
  return [];
}

/** @param {Form} form @param {boolean} first */
function lackingWhere(form, first) {
  const moved = first ? [] : named(form, { moved: t.theatre.movedNot });
  const basis = named(form, { length_basis: t.theatre.howLengthKnown });
  if (form.length_basis !== "measured") return [...moved, ...basis];
  return [...moved, ...named(form, { outside_a_mm: t.theatre.firstLength, outside_b_mm: t.theatre.secondLength })];
}

/** @param {Form} form @param {Minus | null} minus */
function lackingValue(form, minus) {
  const instrument = [...named(form, { instrument: t.theatre.instrument }), ...lackingDistance(form), ...named(form, { form: t.theatre.howWritten })];
  if (form.form === "cylinder") {
    const parts = named(form, { sphere_d: t.theatre.sphere, cylinder_d: t.theatre.cylinder, axis_deg: t.theatre.axis });
    return [...instrument, ...parts, ...(parts.length || minus ? [] : [t.theatre.bothFormsBeing])];
  }
  if (form.form === "meridians") {
    return [...instrument, ...named(form, { meridian_1_d: t.hands.firstMeridianLacks, meridian_2_d: t.hands.secondMeridianLacks })];
  }
  return [...instrument, ...(form.form === "equivalent" ? named(form, { refraction_d: t.theatre.reading }) : [])];
}

/** A retinoscope's lenses count as held or as net, and never as either by silence. @param {Form} form */
function lackingDistance(form) {
  if (form.instrument !== "retinoscope") return [];
  if (form.held !== "held") return named(form, { held: t.hands.whetherHeld });
  return named(form, { working_distance_m: t.hands.workingDistance });
}

/** @param {Form} form @param {Record<string, string>} names @returns {string[]} */
function named(form, names) {
  return Object.entries(names).filter(([key]) => form[key] == null).map(([, word]) => word);
}

/**
 * The record of a reading from the form. `removed` comes from what was logged, `placement` counts
 * how often the haptics were moved.
 * @param {Form} form
 * @param {{removed: {a: number, b: number}, readings: any[], conditions: string[], minus: Minus | null}} context
 */
export function asReading(form, { removed, readings, conditions, minus }) {
  const measured = form.length_basis === "measured";
  const retinoscope = form.instrument === "retinoscope";
  const pick = (/** @type {boolean} */ wanted, /** @type {string} */ key) => (wanted ? form[key] ?? null : null);
  return {
    ...stamp(),
    length_basis: form.length_basis,
    outside_a_mm: pick(measured, "outside_a_mm"),
    outside_b_mm: pick(measured, "outside_b_mm"),
    removed_a_mm: removed.a,
    removed_b_mm: removed.b,
    placement: nextPlacement(form, readings),
    refraction_d: pick(form.form === "equivalent", "refraction_d"),
    sphere_d: form.form === "cylinder" ? minus?.sphere_d ?? null : null,
    cylinder_d: form.form === "cylinder" ? minus?.cylinder_d ?? null : null,
    axis_deg: form.form === "cylinder" ? minus?.axis_deg ?? null : null,
    meridian_1_d: pick(form.form === "meridians", "meridian_1_d"),
    meridian_2_d: pick(form.form === "meridians", "meridian_2_d"),
    working_distance_m: pick(retinoscope && form.held === "held", "working_distance_m"),
    vertex_mm: pick(retinoscope, "vertex_mm"),
    instrument: form.instrument,
    iop_mmhg: form.iop_mmhg,
    infusion: form.infusion,
    fill: form.fill,
    iridectomy_done: form.iridectomy_done,
    conditions,
    withdrawn: null,
  };
}

/** @param {Form} form @param {any[]} readings @returns {number} */
function nextPlacement(form, readings) {
  const last = readings.at(-1);
  if (!last) return 1;
  return form.moved === "no" ? last.placement : last.placement + 1;
}
