"""``power``: the lens power for a target by all four formulas, unrounded.

A formula that alone cannot be computed (its constant is missing, no image) answers with
``{"error": {code, field, message}}`` in its own entry. The request as a whole fails only
when the inputs are at fault for every formula; then the first formula's error is raised.
A lens too strong for the eye to have a spectacle refraction leaves ``refraction_d`` null
with ``refraction_error`` beside it; the power is still answered.
"""

from __future__ import annotations

from typing import Any

from pycore.api.biometry import BIOMETRY_ITEMS, CONSTANTS_ITEM, read_biometry, read_constants
from pycore.api.boundary import as_error
from pycore.api.operation import Answer, Operation
from pycore.api.schema import Notes, optional, record, required
from pycore.errors import GuylineError
from pycore.fields import FIELDS
from pycore.formulas import FORMULAS, Biometry, Formula, LensConstants, ThinEye
from pycore.formulas.screening import between_eyes
from pycore.optics.vergence import lens_power_d, refraction_d
from pycore.units import STANDARD_VERTEX_MM
from pycore.words import say

_FELLOW = record(*(item for item in BIOMETRY_ITEMS if item.key != "phakic_acd_mm"))

ITEMS = (
    *BIOMETRY_ITEMS,
    required("target_d"),
    optional("vertex_mm", default=STANDARD_VERTEX_MM),
    CONSTANTS_ITEM,
    optional("lens_power_d"),
    optional("fellow", _FELLOW, about="The other eye's measurements, for comparison only."),
)


def run(request: dict[str, Any], notes: Notes) -> Answer:
    """All four formulas for one eye; see the module's page for errors."""
    biometry = read_biometry(request, notes)
    constants = read_constants(request, notes)
    _compare(biometry, request["fellow"], notes)
    entries = {
        name: _entry(formula, biometry, constants, request, notes) for name, formula in FORMULAS.items()
    }
    _refuse_if_none(entries)
    return Answer(
        {"formulas": {name: _plain(entry) for name, entry in entries.items()}},
        _rests_on(entries, constants),
    )


def _entry(
    formula: Formula,
    biometry: Biometry,
    constants: LensConstants,
    request: dict[str, Any],
    notes: Notes,
) -> dict[str, Any] | GuylineError:
    try:
        eye = formula.predict(biometry, constants)
        entry = _computed(eye, request)
    except GuylineError as error:
        return error
    _note(formula, eye, entry["power_d"], notes)
    return entry


def _computed(eye: ThinEye, request: dict[str, Any]) -> dict[str, Any]:
    thin = {
        "axial_length_mm": eye.axial_length_mm,
        "lens_position_mm": eye.lens_position_mm,
        "corneal_power_d": eye.corneal_power_d,
        "vertex_mm": request["vertex_mm"],
    }
    entry: dict[str, Any] = {
        "power_d": lens_power_d(**thin, refraction_d=request["target_d"]),
        "lens_position_mm": eye.lens_position_mm,
        "cautions": [{"code": code, "message": message} for code, message in eye.cautions],
    }
    if request["lens_power_d"] is not None:
        entry.update(_with_lens(thin, request["lens_power_d"]))
    return entry


def _with_lens(thin: dict[str, float], power_d: float) -> dict[str, Any]:
    try:
        return {"refraction_d": refraction_d(**thin, lens_power_d=power_d)}
    except GuylineError as error:
        return {"refraction_d": None, "refraction_error": as_error(error)}


def _note(formula: Formula, eye: ThinEye, power_d: float, notes: Notes) -> None:
    where = f"formulas.{formula.name}"
    for code, message in eye.cautions:
        notes.warn(code, message, field=where)
    for name, value in (("lens_position_mm", eye.lens_position_mm), ("lens_power_d", power_d)):
        entry = FIELDS[name]
        low, high = entry.usual_low, entry.usual_high
        if low is not None and high is not None and not low <= value <= high:
            notes.warn(
                f"unusual_{name.rsplit('_', 1)[0]}",
                say(
                    "{label}: {lower} {value} {unit} is outside the usual {low} to {high}. Check the "
                    "measurements and constants.",
                    label=formula.label, lower=entry.label.lower(), value=f"{value:.2f}", unit=entry.unit,
                    low=f"{low:g}", high=f"{high:g}",
                ),
                field=where,
            )


def _compare(biometry: Biometry, fellow: dict[str, Any] | None, notes: Notes) -> None:
    if fellow is None:
        return
    for code, message in between_eyes(biometry, read_biometry(fellow, notes, path="fellow")):
        notes.warn(code, message, field="fellow")


def _refuse_if_none(entries: dict[str, dict[str, Any] | GuylineError]) -> None:
    errors = [entry for entry in entries.values() if isinstance(entry, GuylineError)]
    if len(errors) == len(entries):
        raise errors[0]


def _plain(entry: dict[str, Any] | GuylineError) -> dict[str, Any]:
    if isinstance(entry, GuylineError):
        return {"error": as_error(entry)}
    return entry


def _rests_on(entries: dict[str, dict[str, Any] | GuylineError], constants: LensConstants) -> dict[str, Any]:
    computed = [FORMULAS[name] for name, entry in entries.items() if not isinstance(entry, GuylineError)]
    return {
        "formulas": {
            formula.name: {
                "citation": formula.citation,
                "constants": formula.constants_used(constants),
            }
            for formula in computed
        }
    }


OPERATION = Operation("power", "Lens power for a target by all four formulas, unrounded.", ITEMS, run)
