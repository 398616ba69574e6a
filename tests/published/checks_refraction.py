"""Power vectors of sphero-cylinders."""

from __future__ import annotations

from typing import Final

from pycore.optics.refraction import Spherocylinder, minus_form, to_power_vector
from tests.published.check import OutsideCheck

THIBOS: Final = "equations of Thibos LN et al., Optom Vis Sci 1997;74:367-375, computed independently"

#: sphere, cylinder, axis; M, J0, J45, B (None where not tabulated).
VECTORS: Final = (
    (-1.0, -2.0, 180.0, -2.0, 1.0, 0.0, 2.2361),
    (1.5, -3.0, 30.0, 0.0, 0.7500, 1.2990, 1.5),
    (0.25, 1.25, 105.0, 0.8750, 0.5413, 0.3125, None),
    (-2.0, -1.0, 45.0, -2.5, 0.0, 0.5, None),
    (3.0, 0.0, 180.0, 3.0, 0.0, 0.0, 3.0),
)


def _vector(row: tuple[float, float, float, float, float, float, float | None]) -> list[OutsideCheck]:
    refraction = Spherocylinder(*row[:3])
    names = ("m_d", "j0_d", "j45_d", "blur_d")
    return [
        OutsideCheck(f"{row[0]:+g} {row[1]:+g} x {row[2]:g} {name}", THIBOS, "consistency", value, 0.00005,
                     lambda name=name: getattr(to_power_vector(refraction), name))
        for name, value in zip(names, row[3:], strict=True) if value is not None
    ]


def _minus(name: str, expected: float) -> OutsideCheck:
    return OutsideCheck(f"+0.25 +1.25 x 105 in minus form, {name}", THIBOS, "consistency", expected, 1e-12,
                        lambda: getattr(minus_form(Spherocylinder(0.25, 1.25, 105.0)), name))


CHECKS: Final[list[OutsideCheck]] = [
    *(check for row in VECTORS for check in _vector(row)),
    _minus("sphere_d", 1.50), _minus("cylinder_d", -1.25), _minus("axis_deg", 15.0),
]
