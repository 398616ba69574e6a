"""The measurements and constants of a sound record as a formula reads them, if complete."""

from __future__ import annotations

from pycore.formulas import Biometry, LensConstants
from pycore.records.case import Case
from pycore.units import keratometric_power_d

_CONSTANTS = ("a", "pacd_mm", "surgeon_factor_mm", "a0", "a1", "a2")


def biometry(case: Case) -> Biometry | None:
    """Axial length and corneal powers, or ``None`` while one of them is missing.

    Radii count only when the record says that the cornea was entered in mm.
    """
    found = case["measurements"]
    first, second = _corneal_powers(found)
    if found["axial_length_mm"] is None or first is None or second is None:
        return None
    return Biometry(found["axial_length_mm"], first, second, found["phakic_acd_mm"])


def lens_constants(case: Case) -> LensConstants | None:
    """The constants entered, or ``None`` when there is not one."""
    given = {name: case["lens"][name] for name in _CONSTANTS}
    return LensConstants(**given) if any(value is not None for value in given.values()) else None


def _corneal_powers(found: Case) -> tuple[float | None, float | None]:
    if found["k_unit"] != "mm":
        return found["k1_d"], found["k2_d"]
    return _power(found["r1_mm"]), _power(found["r2_mm"])


def _power(radius_mm: float | None) -> float | None:
    return None if radius_mm is None else keratometric_power_d(radius_mm)
