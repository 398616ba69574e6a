"""Vertex conversion, refractive vergence, lens shift and aphakic refraction."""

from __future__ import annotations

from typing import Final

from pycore.optics import vergence
from pycore.optics.vergence import refraction_d
from tests.published.check import OutsideCheck

CLINICAL_TEXT: Final = "clinical text: +13.00 D at 12 mm is about +15.50 D at the cornea"
HOLLADAY_1993: Final = "equation of Holladay JT, Am J Ophthalmol 1993;116:63-66, computed independently"
THIN_LENS: Final = "thin-lens derivatives, computed independently by finite differences"
THIN_LENS_EYE: Final = "thin-lens eye, computed independently"

#: present, target, K, lens position, vertex, power.
CHANGES: Final = (
    (12.5, 0.0, 43.0, 5.2, 12.0, 22.778), (12.5, -0.5, 43.0, 5.2, 12.0, 23.493),
    (12.5, 0.0, 43.0, 5.2, 13.75, 23.425), (10.0, -2.0, 44.0, 5.0, 12.0, 19.934),
    (16.0, -0.5, 45.0, 4.9, 12.0, 31.822), (2.0, 0.0, 43.0, 5.2, 12.0, 2.984),
    (-3.5, 0.0, 43.0, 5.2, 12.0, -4.770), (3.0, 0.0, 41.5, 4.9, 12.0, 4.389),
)

#: lens power, axial length, D per mm of position, changes at -1, -0.5, +0.5, +1 mm, D per mm of length.
SHIFTS: Final = (
    (5.0, 28.79, 0.28, (-0.29, -0.14, 0.14, 0.27), -1.66),
    (10.0, 26.89, 0.59, (-0.60, -0.30, 0.29, 0.57), -1.97),
    (15.0, 25.27, 0.92, (-0.94, -0.47, 0.45, 0.90), -2.30),
    (20.0, 23.87, 1.28, (-1.31, -0.65, 0.63, 1.24), -2.66),
    (25.0, 22.66, 1.66, (-1.71, -0.84, 0.82, 1.61), -3.04),
    (30.0, 21.59, 2.07, (-2.14, -1.05, 1.02, 2.00), -3.45),
    (35.0, 20.65, 2.51, (-2.61, -1.28, 1.23, 2.41), -3.89),
)

#: axial length, refraction of the aphakic eye at the cornea and at 12 mm.
APHAKIC: Final = (
    (21.0, 20.70, 16.58), (22.0, 17.81, 14.67), (23.5, 13.93, 11.94), (25.0, 10.52, 9.34),
    (26.0, 8.46, 7.68), (28.0, 4.79, 4.53), (30.0, 1.61, 1.58),
)
#: K 43.5 D read with SRK/T's corneal index 1.333.
APHAKIC_CORNEA_D: Final = 43.5 * 333.0 / 337.5

#: Power per unit of each input at +12.50 -> -0.50, K 43, position 5.2, vertex 12.
STARTING: Final = {"present_refraction_d": 12.5, "target_d": -0.5, "corneal_power_d": 43.0,
                   "lens_position_mm": 5.2, "vertex_mm": 12.0}
CHANGE_SLOPES: Final = (("present_refraction_d", 2.30), ("corneal_power_d", 0.23), ("vertex_mm", 0.36))


def _change(row: tuple[float, float, float, float, float, float]) -> OutsideCheck:
    present, target, k_d, position, vertex, power = row
    return OutsideCheck(
        f"refractive vergence {present:+g} to {target:+g}, K {k_d:g}, {position:g} mm, vertex {vertex:g}",
        HOLLADAY_1993, "consistency", power, 0.0005,
        lambda: vergence.power_for_change_d(present_refraction_d=present, target_d=target, vertex_mm=vertex,
                                            corneal_power_d=k_d, lens_position_mm=position))


def _change_slope(name: str, slope: float) -> OutsideCheck:
    step = 1e-4

    def power(by: float) -> float:
        return vergence.power_for_change_d(**{**STARTING, name: STARTING[name] + by})

    return OutsideCheck(f"refractive vergence: D of lens per unit of {name}", HOLLADAY_1993, "consistency",
                        slope, 0.005,
                        lambda: (power(step) - power(-step)) / (2 * step))


def shifted_d(power_d: float, axial_length_mm: float, by_mm: float) -> float:
    """Refraction of the shift table's eye with its lens moved by ``by_mm``."""
    return refraction_d(axial_length_mm=axial_length_mm, lens_position_mm=5.25 + by_mm,
                        corneal_power_d=43.0, lens_power_d=power_d)


def _shift(row: tuple[float, float, float, tuple[float, ...], float]) -> list[OutsideCheck]:
    power, length, per_mm, changes, per_length = row
    slopes = vergence.refraction_and_slopes(axial_length_mm=length, lens_position_mm=5.25,
                                            corneal_power_d=43.0, lens_power_d=power)
    # The axial lengths are printed to 0.01 mm, which moves these by less than half a unit.
    moved = [
        OutsideCheck(f"lens {power:g} D moved {by:+g} mm", THIN_LENS, "consistency", change, 0.0055,
                     lambda by=by: shifted_d(power, length, by) - shifted_d(power, length, 0.0))
        for by, change in zip((-1.0, -0.5, 0.5, 1.0), changes, strict=True)
    ]
    return [
        *moved,
        OutsideCheck(f"lens {power:g} D, D per mm of position", THIN_LENS, "consistency", per_mm, 0.0055,
                     lambda: slopes.per_lens_position),
        OutsideCheck(f"lens {power:g} D, D per mm of length", THIN_LENS, "consistency", per_length, 0.0055,
                     lambda: slopes.per_axial_length),
    ]


def _aphakic(row: tuple[float, float, float]) -> list[OutsideCheck]:
    length, at_cornea, at_12 = row
    eye = {"axial_length_mm": length, "lens_position_mm": 5.25, "corneal_power_d": APHAKIC_CORNEA_D}
    return [
        OutsideCheck(f"aphakic refraction at the cornea, {length:g} mm", THIN_LENS_EYE, "consistency",
                     at_cornea, 0.005, lambda: refraction_d(**eye, lens_power_d=0.0, vertex_mm=0.0)),
        OutsideCheck(f"aphakic refraction at 12 mm, {length:g} mm", THIN_LENS_EYE, "consistency",
                     at_12, 0.005, lambda: refraction_d(**eye, lens_power_d=0.0)),
    ]


def _after(position: float, refraction: float) -> OutsideCheck:
    return OutsideCheck(
        f"+12.50 D eye given 23.5 D at {position:g} mm", HOLLADAY_1993, "consistency", refraction, 0.005,
        lambda: vergence.refraction_after_change_d(present_refraction_d=12.5, added_power_d=23.5,
                                                   corneal_power_d=43.0, lens_position_mm=position))


def _vertex(name: str, source: str, expected: float, tolerance: float, refraction: float,
            from_mm: float, to_mm: float) -> OutsideCheck:
    kind = "secondary" if source == CLINICAL_TEXT else "consistency"
    return OutsideCheck(name, source, kind, expected, tolerance,
                        lambda: vergence.change_vertex_d(refraction, from_mm=from_mm, to_mm=to_mm))


_ARITHMETIC: Final = "vertex arithmetic, computed independently"

CHECKS: Final[list[OutsideCheck]] = [
    _vertex("+13.00 at 12 mm, at the cornea, as printed", CLINICAL_TEXT, 15.50, 0.125, 13.0, 12.0, 0.0),
    _vertex("+13.00 at 12 mm, at the cornea, exact", _ARITHMETIC, 15.403, 0.0005, 13.0, 12.0, 0.0),
    _vertex("+12.50 at 13.75 mm, at the cornea", _ARITHMETIC, 15.094, 0.0005, 12.5, 13.75, 0.0),
    _vertex("+12.50 at 13.75 mm, at 12 mm", _ARITHMETIC, 12.780, 0.0005, 12.5, 13.75, 12.0),
    _vertex("+10.00 at 13.75 mm, at 12 mm", _ARITHMETIC, 10.178, 0.0005, 10.0, 13.75, 12.0),
    _vertex("-4.00 at 13.75 mm, at 12 mm", _ARITHMETIC, -3.972, 0.0005, -4.0, 13.75, 12.0),
    *(_change(row) for row in CHANGES),
    *(_change_slope(name, slope) for name, slope in CHANGE_SLOPES),
    *(check for row in SHIFTS for check in _shift(row)),
    *(check for row in APHAKIC for check in _aphakic(row)),
    _after(4.7, -1.29), _after(5.7, 0.26),
]
