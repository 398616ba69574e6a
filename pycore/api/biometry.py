"""Measurements and lens constants in a request, shared by every operation that needs them.

Corneal powers come as ``k1_d`` and ``k2_d`` (index 1.3375) or as ``r1_mm`` and ``r2_mm``,
never both and never one of each. Whatever is possible is computed; what is unusual, or
looks swapped, is warned about and never changed.
"""

from __future__ import annotations

from typing import Any, Final

from pycore.api.schema import Item, Notes, optional, record, required
from pycore.errors import Inconsistent, MissingField
from pycore.formulas import Biometry, LensConstants
from pycore.formulas.constants import pacd_from_a_mm, surgeon_factor_from_a_mm
from pycore.units import keratometric_power_d
from pycore.words import say

#: Corneal astigmatism above this is asked about, D; common practice, no source.
LARGE_ASTIGMATISM_D: Final = 4.0
#: An explicit constant this far from the one converted from A is asked about, mm; our choice.
CONSTANTS_APART_MM: Final = 0.5

BIOMETRY_ITEMS: Final[tuple[Item, ...]] = (
    required("axial_length_mm"),
    optional("k1_d"),
    optional("k2_d"),
    optional("r1_mm"),
    optional("r2_mm"),
    optional("phakic_acd_mm"),
)

CONSTANTS_ITEM: Final[Item] = required(
    "constants",
    record(*(optional(name) for name in ("a", "pacd_mm", "surgeon_factor_mm", "a0", "a1", "a2"))),
    about="Lens constants; an explicit one overrides the one converted from a.",
)


def read_biometry(request: dict[str, Any], notes: Notes, *, path: str = "") -> Biometry:
    """The measurements in ``request`` (already read with :data:`BIOMETRY_ITEMS`).

    Raises :class:`Inconsistent` for powers and radii together and :class:`MissingField` for
    a missing one, naming it. ``path`` is put before the field names.
    """
    k1_d, k2_d = corneal_powers(request, path)
    _note_cornea(
        k1_d, k2_d, _field(path, "k1_d" if request["k1_d"] is not None else "r1_mm"), notes
    )
    return Biometry(
        axial_length_mm=request["axial_length_mm"],
        k1_d=k1_d,
        k2_d=k2_d,
        phakic_acd_mm=request.get("phakic_acd_mm"),
    )


def read_constants(request: dict[str, Any], notes: Notes) -> LensConstants:
    """The lens constants in ``request`` (already read with :data:`CONSTANTS_ITEM`).

    Raises :class:`MissingField` when no constant was entered at all.
    """
    given = request["constants"]
    if all(value is None for value in given.values()):
        raise MissingField("Enter the A constant from the lens label.", field="constants.a")
    constants = LensConstants(**given)
    _note_constants(constants, notes)
    return constants


def corneal_powers(request: dict[str, Any], path: str) -> tuple[float, float]:
    powers = [name for name in ("k1_d", "k2_d") if request[name] is not None]
    radii = [name for name in ("r1_mm", "r2_mm") if request[name] is not None]
    if powers and radii:
        raise Inconsistent(
            "Corneal powers and radii were both given. Enter k1_d and k2_d, or r1_mm and r2_mm.",
            field=_field(path, radii[0]),
        )
    if radii:
        _need_both("r1_mm", "r2_mm", request, path)
        return keratometric_power_d(request["r1_mm"]), keratometric_power_d(request["r2_mm"])
    _need_both("k1_d", "k2_d", request, path)
    return request["k1_d"], request["k2_d"]


def _need_both(first: str, second: str, request: dict[str, Any], path: str) -> None:
    for name in (first, second):
        if request[name] is None:
            where = _field(path, name)
            raise MissingField(
                say("{where} is missing. Enter both meridians of the cornea.", where=where), field=where
            )


def _note_cornea(flat_d: float, steep_d: float, field: str, notes: Notes) -> None:
    if flat_d > steep_d:
        notes.warn(
            "k_swapped",
            "The flat meridian is the stronger one: flat and steep look swapped. "
            "Their mean is not affected.",
            field=field,
        )
    if abs(steep_d - flat_d) > LARGE_ASTIGMATISM_D:
        notes.warn(
            "large_corneal_astigmatism",
            say(
                "The corneal powers differ by {abs} D. Check both against the source.",
                abs=f"{abs(steep_d - flat_d):.2f}",
            ),
            field=field,
        )


def _note_constants(constants: LensConstants, notes: Notes) -> None:
    if constants.a is None:
        return
    pairs = (
        ("pacd_mm", constants.pacd_mm, pacd_from_a_mm(constants.a)),
        ("surgeon_factor_mm", constants.surgeon_factor_mm, surgeon_factor_from_a_mm(constants.a)),
    )
    for name, given, converted in pairs:
        if given is not None and abs(given - converted) > CONSTANTS_APART_MM:
            notes.warn(
                "constants_disagree",
                say(
                    "{name} {given} is far from the {converted} that A {a} converts to. Check that both "
                    "belong to this lens.",
                    name=name, given=f"{given:g}", converted=f"{converted:.2f}", a=f"{constants.a:g}",
                ),
                field=f"constants.{name}",
            )


def _field(path: str, name: str) -> str:
    return f"{path}.{name}" if path else name
