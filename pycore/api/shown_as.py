"""How the surgeon writes refractions and acuities: what stands first, what stands beneath it.

Notation only changes the order and the words of an answer. Values, records and fingerprints are the
same in every notation: minus cylinder, logMAR, index 1.3375. Checked by
``tests/unit/test_notation.py``.
"""

from __future__ import annotations

from typing import Any, Final

from pycore.api.schema import Item, optional, record
from pycore.api.visit_words import refraction_text
from pycore.api.wording import quantity
from pycore.fields import FIELDS
from pycore.optics.refraction import Spherocylinder, minus_form, plus_form
from pycore.units import KERATOMETER_INDEX, corneal_radius_mm, keratometric_power_d
from pycore.words import say

SHOWN_AS: Final[Item] = optional(
    "shown_as",
    record(optional("cylinder_notation", default="minus"), optional("acuity_first", default="metre")),
    default={"cylinder_notation": "minus", "acuity_first": "metre"},
    about="Which notation stands first; values are the same in each.",
)

_FORMS: Final = {"minus": minus_form, "plus": plus_form}
_OTHER: Final = {"minus": "plus", "plus": "minus"}


def in_form(refraction: Spherocylinder, notation: str) -> Spherocylinder:
    """``refraction`` in minus or plus form."""
    return _FORMS[notation](refraction)


def both_forms(refraction: Spherocylinder, notation: str) -> list[dict[str, str]]:
    """Both cylinder forms with their names, the wanted one first."""
    return [
        {"notation": name, "label": say("{choices} form", choices=FIELDS['cylinder_notation'].choices[name]),
         "text": refraction_text(in_form(refraction, name))}
        for name in (notation, _OTHER[notation])
    ]


def another_notation(cylinder_d: float, notation: str) -> str | None:
    """What to say about a cylinder typed in the form that is not set."""
    typed = "minus" if cylinder_d < 0.0 else "plus"
    if not cylinder_d or typed == notation:
        return None
    return (
        say(
            "A {typed} cylinder was typed; Setup says {notation} cylinder. Both forms below are one "
            "refraction: compare them with what was called out, sphere included.",
            typed=typed, notation=notation,
        )
    )


#: A corneal entry, its counterpart, and how one becomes the other.
_CORNEA: Final = {
    "k1_d": ("r1_mm", corneal_radius_mm), "k2_d": ("r2_mm", corneal_radius_mm),
    "r1_mm": ("k1_d", keratometric_power_d), "r2_mm": ("k2_d", keratometric_power_d),
}


def cornea_otherwise(found: dict[str, Any]) -> dict[str, str]:
    """Each corneal entry of the unit in use in the other unit, by its path in the record."""
    unit = found["k_unit"]
    names = [name for name in _CORNEA if unit and name.endswith(f"_{unit}") and found[name] is not None]
    return {f"measurements.{name}": _otherwise(name, found[name]) for name in names}


def _otherwise(name: str, value: float) -> str:
    other, convert = _CORNEA[name]
    return say(
        "= {quantity} with index {keratometer_index}",
        quantity=quantity(convert(value), other), keratometer_index=KERATOMETER_INDEX,
    )
