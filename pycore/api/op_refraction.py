"""``refraction``: one sphero-cylinder in both forms and as a power vector.

The cylinder may be entered in plus or minus form, -15 to +15 D. An axis is required unless
the cylinder is zero. ``se_d`` is at the vertex distance entered; ``se_12_d`` moves each
meridian to 12 mm first.
"""

from __future__ import annotations

from dataclasses import asdict, replace
from typing import Any, Final

from pycore.api.operation import Answer, Operation
from pycore.api.schema import Notes, finite, optional, required
from pycore.api.shown_as import SHOWN_AS, another_notation, both_forms
from pycore.api.visit_words import refraction_text, refraction_words
from pycore.errors import MissingField, OutOfRange
from pycore.optics.refraction import (
    LEVEL_AXIS_DEG,
    Spherocylinder,
    minus_form,
    normal_axis_deg,
    plus_form,
    spherical_equivalent_at_d,
    to_power_vector,
)
from pycore.units import STANDARD_VERTEX_MM
from pycore.words import say

#: Largest cylinder read in either form, D; the glossary's limit for minus cylinders.
MOST_CYLINDER_D: Final = 15.0


def _cylinder(value: Any, path: str, notes: Notes) -> float:
    cylinder_d = finite(value, path, notes)
    if abs(cylinder_d) > MOST_CYLINDER_D:
        raise OutOfRange(
            say(
                "Cylinder must lie between -15 and 15 D; got {cylinder_d}. Check the value.",
                cylinder_d=f"{cylinder_d:g}",
            ),
            field=path,
        )
    return cylinder_d


ITEMS = (
    required("sphere_d"),
    optional("cylinder_d", _cylinder, default=0.0, about="Cylinder in plus or minus form."),
    optional("axis_deg"),
    optional("vertex_mm", default=STANDARD_VERTEX_MM),
    SHOWN_AS,
)


def run(request: dict[str, Any], notes: Notes) -> Answer:
    """Both forms, the power vector and the spherical equivalent."""
    refraction = Spherocylinder(request["sphere_d"], request["cylinder_d"], _axis_deg(request))
    vector = to_power_vector(refraction)
    notation = request["shown_as"]["cylinder_notation"]
    _note_other_notation(refraction.cylinder_d, notation, notes)
    value = {
        "se_d": vector.m_d,
        "se_12_d": spherical_equivalent_at_d(
            refraction, from_mm=request["vertex_mm"], to_mm=STANDARD_VERTEX_MM
        ),
        "minus": asdict(minus_form(refraction)),
        "plus": asdict(plus_form(refraction)),
        **asdict(vector),
        "blur_d": vector.blur_d,
        "notation": _notation(refraction.cylinder_d),
        "minus_text": refraction_text(minus_form(refraction)),
        "plus_text": refraction_text(plus_form(refraction)),
        "words": refraction_words(_level(refraction)),
        "forms": both_forms(refraction, notation),
    }
    return Answer(
        value, {"source": "Thibos LN, Wheeler W, Horner D. Optom Vis Sci 1997;74:367-375"}
    )


def _note_other_notation(cylinder_d: float, notation: str, notes: Notes) -> None:
    text = another_notation(cylinder_d, notation)
    if text is not None:
        notes.warn("other_notation", text, field="cylinder_d")


def _level(refraction: Spherocylinder) -> Spherocylinder:
    """As entered, with axis 0 read as 180."""
    return replace(refraction, axis_deg=normal_axis_deg(refraction.axis_deg))


def _notation(cylinder_d: float) -> str:
    if not cylinder_d:
        return "sphere only"
    return "minus-cylinder notation" if cylinder_d < 0 else "plus-cylinder notation"


def _axis_deg(request: dict[str, Any]) -> float:
    axis_deg = request["axis_deg"]
    if axis_deg is not None:
        return float(axis_deg)
    if request["cylinder_d"] != 0.0:
        raise MissingField("axis_deg is missing. Enter the axis of the cylinder.", field="axis_deg")
    return LEVEL_AXIS_DEG


OPERATION = Operation(
    "refraction", "One refraction in both cylinder forms and as a power vector.", ITEMS, run
)
