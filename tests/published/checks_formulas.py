"""Powers, refractions and lens positions of the four formulas.

No full worked example of any of these formulas was found in print. The tables below were
computed by independent implementations of the equations: consistency, not proof.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from pycore.formulas import FORMULAS, Biometry, LensConstants, ThinEye
from pycore.formulas.srkt import radicand_mm2
from pycore.optics.vergence import lens_power_d, refraction_d
from tests.published.check import OutsideCheck

TWO_PROGRAMS: Final = "independent implementations of the published equations"


@dataclass(frozen=True, slots=True)
class Row:
    """One eye: K mean, A constant, target, phakic depth, then what each formula must give."""

    number: int
    axial_length_mm: float
    k_d: float
    a: float
    target_d: float
    phakic_acd_mm: float | None
    powers_d: tuple[float, float, float, float]
    lens_power_d: float
    refractions_d: tuple[float, float, float, float]
    positions_mm: tuple[float, float, float, float]
    radicand_mm2: float


ROWS: Final = (
    Row(1, 21.0, 43.0, 118.7, 0.0, 2.8, (29.915, 30.519, 31.007, 33.117),
        29.0, (0.672, 1.094, 1.423, 2.798), (4.350, 4.526, 4.605, 4.934), 30.97),
    Row(2, 21.0, 47.5, 118.7, 0.0, 2.8, (25.489, 25.321, 25.532, 26.790),
        25.0, (0.330, 0.219, 0.360, 1.202), (5.005, 4.908, 4.927, 4.934), 17.36),
    Row(3, 21.0, 40.0, 118.7, -0.5, 2.8, (33.448, 34.454, 35.203, 37.880),
        31.0, (1.377, 2.066, 2.556, 4.220), (4.010, 4.303, 4.440, 4.934), 42.16),
    Row(4, 23.5, 43.5, 118.7, 0.0, 3.1, (20.924, 20.935, 20.899, 21.969),
        21.5, (-0.400, -0.390, -0.414, 0.321), (5.282, 5.359, 5.333, 5.304), 20.63),
    Row(5, 23.5, 43.5, 118.7, -0.5, 3.1, (21.643, 21.658, 21.625, 22.688),
        22.0, (-0.751, -0.739, -0.762, -0.022), (5.282, 5.359, 5.333, 5.304), 20.63),
    Row(6, 23.5, 43.5, 118.7, -2.0, 3.1, (23.731, 23.759, 23.732, 24.775),
        24.0, (-2.199, -2.177, -2.196, -1.434), (5.282, 5.359, 5.333, 5.304), 20.63),
    Row(7, 23.5, 47.0, 119.2, -0.5, 3.1, (18.564, 17.859, 17.342, 18.188),
        18.5, (-0.460, -0.907, -1.251, -0.707), (6.426, 6.132, 5.874, 5.617), 9.81),
    Row(8, 23.5, 39.5, 118.0, 0.0, None, (24.133, 24.703, 25.196, 26.448),
        25.5, (-1.071, -0.606, -0.226, 0.692), (4.183, 4.516, 4.703, 4.837), 35.87),
    Row(9, 24.2, 44.0, 119.2, 0.0, 3.2, (18.826, 18.582, 18.335, 19.276),
        19.5, (-0.440, -0.602, -0.769, -0.149), (6.006, 5.982, 5.866, 5.727), 16.34),
)


def predict(formula: str, axial_length_mm: float, k_d: float, *, phakic_acd_mm: float | None = None,
            **constants: float) -> ThinEye:
    """The thin eye of one formula for a spherical cornea."""
    biometry = Biometry(axial_length_mm, k_d, k_d, phakic_acd_mm)
    return FORMULAS[formula].predict(biometry, LensConstants(**constants))


def power_of(eye: ThinEye, target_d: float = 0.0) -> float:
    """Lens power of a thin eye for a target."""
    return lens_power_d(axial_length_mm=eye.axial_length_mm, lens_position_mm=eye.lens_position_mm,
                        corneal_power_d=eye.corneal_power_d, refraction_d=target_d)


def refraction_of(eye: ThinEye, power_d: float) -> float:
    """Refraction of a thin eye with a lens."""
    return refraction_d(axial_length_mm=eye.axial_length_mm, lens_position_mm=eye.lens_position_mm,
                        corneal_power_d=eye.corneal_power_d, lens_power_d=power_d)


def _of_row(row: Row, formula: str) -> ThinEye:
    return predict(formula, row.axial_length_mm, row.k_d, phakic_acd_mm=row.phakic_acd_mm, a=row.a)


def _row_checks() -> list[OutsideCheck]:
    return [check for row in ROWS for index, formula in enumerate(FORMULAS)
            for check in _checks_of(row, formula, index)]


def _checks_of(row: Row, formula: str, index: int) -> list[OutsideCheck]:
    label = f"eye {row.number} {formula}"
    expected = (
        ("power", row.powers_d[index], lambda: power_of(_of_row(row, formula), row.target_d)),
        ("refraction", row.refractions_d[index],
         lambda: refraction_of(_of_row(row, formula), row.lens_power_d)),
        ("lens position", row.positions_mm[index], lambda: _of_row(row, formula).lens_position_mm),
    )
    # The tables are printed to three decimals: half a unit of the last one.
    return [OutsideCheck(f"{label} {name}", TWO_PROGRAMS, "consistency", value, 0.00051, compute)
            for name, value, compute in expected]


def _branch(name: str, expected: float, tolerance: float, formula: str, axial_length_mm: float,
            k_d: float, target_d: float = 0.0, a: float = 118.7) -> OutsideCheck:
    return OutsideCheck(
        name, TWO_PROGRAMS, "consistency", expected, tolerance,
        lambda: power_of(predict(formula, axial_length_mm, k_d, a=a), target_d))


#: Mean corneal power at which the radicand of SRK/T reaches zero, by axial length.
CUSPS: Final = ((22.0, 53.3), (23.5, 50.8), (24.0, 50.0), (25.0, 49.0), (26.0, 48.2), (27.0, 47.5),
                (28.0, 46.9), (32.0, 45.3), (34.0, 44.9))

#: Change of the predicted refraction per unit of the constant; 23.5 mm, 43.5 D, lens 21 D.
SLOPES: Final = (("srkt", "a", 118.7, 0.84), ("hoffer_q", "pacd_mm", 5.374, 1.36),
                 ("holladay1", "surgeon_factor_mm", 1.620, 1.34), ("haigis", "a0", 1.714, 1.33))


def cusp_power_d(axial_length_mm: float) -> float:
    """Where the radicand of SRK/T changes sign, by bisection."""
    low, high = 40.0, 60.0
    while high - low > 1e-9:
        middle = (low + high) / 2.0
        if radicand_mm2(Biometry(axial_length_mm, middle, middle)) > 0.0:
            low = middle
        else:
            high = middle
    return low


def _cusp(axial_length_mm: float, k_d: float) -> OutsideCheck:
    return OutsideCheck(f"SRK/T cusp at {axial_length_mm:g} mm", TWO_PROGRAMS, "consistency", k_d, 0.05,
                        lambda: cusp_power_d(axial_length_mm))


def _sensitivity(formula: str, constant: str, start: float, slope: float) -> OutsideCheck:
    step = 1e-4

    def refraction(value: float) -> float:
        eye = predict(formula, 23.5, 43.5, phakic_acd_mm=3.1, **{constant: value})
        return refraction_of(eye, 21.0)

    return OutsideCheck(f"refraction per unit of {constant}", TWO_PROGRAMS, "consistency", slope, 0.0051,
                        lambda: (refraction(start + step) - refraction(start - step)) / (2 * step))


CHECKS: Final[list[OutsideCheck]] = [
    *_row_checks(),
    # Across the SRK/T cusp the power rises with K between 49 and 50 D.
    _branch("SRK/T before the cusp, K 48", 14.56, 0.005, "srkt", 24.0, 48.0),
    _branch("SRK/T before the cusp, K 49", 13.61, 0.005, "srkt", 24.0, 49.0),
    _branch("SRK/T at the cusp, K 50", 13.87, 0.005, "srkt", 24.0, 50.0),
    _branch("SRK/T radicand below zero, K 51", 11.49, 0.005, "srkt", 24.0, 51.0),
    # Only the chamber depth of Hoffer Q sees the limited length.
    _branch("Hoffer Q upper length limit, 33 mm", 0.70, 0.005, "hoffer_q", 33.0, 42.0, -2.0),
    _branch("Hoffer Q lower length limit, 18 mm", 44.03, 0.005, "hoffer_q", 18.0, 46.0),
    *(_cusp(length, k_d) for length, k_d in CUSPS),
    *(_sensitivity(formula, constant, start, slope) for formula, constant, start, slope in SLOPES),
    OutsideCheck(
        "Holladay 1 lens position at its height limit, 30 mm", TWO_PROGRAMS, "consistency", 6.02, 0.005,
        lambda: predict("holladay1", 30.0, 43.0, a=118.7).lens_position_mm),
    OutsideCheck(
        "Holladay 1 lens position at its height limit, 26 mm", TWO_PROGRAMS, "consistency", 6.02, 0.005,
        lambda: predict("holladay1", 26.0, 43.0, a=118.7).lens_position_mm),
    OutsideCheck(
        "a0 with which Haigis agrees with SRK/T on eye 4", TWO_PROGRAMS, "consistency", 20.92, 0.005,
        lambda: power_of(predict("haigis", 23.5, 43.5, phakic_acd_mm=3.1, a0=1.186))),
]
