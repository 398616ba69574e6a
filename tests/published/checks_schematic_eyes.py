"""Power and cardinal points of the schematic eyes, from their published surfaces."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

from pycore.optics.paraxial import Face, cardinal_points
from tests.published.check import Confidence, OutsideCheck

GULLSTRAND: Final = "Gullstrand No. 1, in Atchison DA, Smith G, Optics of the Human Eye, 2000, app. 3"
LE_GRAND: Final = "Le Grand full theoretical eye, in Atchison and Smith 2000, app. 3"
NAVARRO: Final = "Navarro R, Santamaria J, Bescos J, J Opt Soc Am A 1985;2:1273-81, 589 nm"
LIOU_BRENNAN: Final = "Liou HL, Brennan NA, J Opt Soc Am A 1997;14:1684-95, abstract; surfaces from memory"

#: Radius (mm), index behind it, gap to the next surface (mm).
Rows = tuple[tuple[float, float, float], ...]
GULLSTRAND_ROWS: Final[Rows] = (
    (7.7, 1.376, 0.5),
    (6.8, 1.336, 3.1),
    (10.0, 1.386, 0.546),
    (7.911, 1.406, 2.419),
    (-5.76, 1.386, 0.635),
    (-6.0, 1.336, 0.0),
)
LE_GRAND_ROWS: Final[Rows] = (
    (7.8, 1.3771, 0.55),
    (6.5, 1.3374, 3.05),
    (10.2, 1.42, 4.0),
    (-6.0, 1.336, 0.0),
)
NAVARRO_ROWS: Final[Rows] = (
    (7.72, 1.376, 0.55),
    (6.5, 1.3374, 3.05),
    (10.2, 1.42, 4.0),
    (-6.0, 1.336, 0.0),
)

POINTS: Final = (
    "power_d",
    "first_focal_length_mm",
    "second_focal_length_mm",
    "first_principal_mm",
    "second_principal_mm",
    "first_focus_mm",
    "second_focus_mm",
    "first_nodal_mm",
    "second_nodal_mm",
)
GULLSTRAND_VALUES: Final = (58.636, -17.055, 22.785, 1.348, 1.602, -15.707, 24.387, 7.078, 7.332)
LE_GRAND_VALUES: Final = (59.94, -16.683, 22.289, 1.595, 1.908, -15.089, 24.197, 7.200, 7.513)
#: Gullstrand's table rounds intermediate results: its F' is f' + H' of rounded values.
GULLSTRAND_TOLERANCE: Final = 0.002

#: Slices of each half of the gradient lens; 50 and 100 differ by less than 0.00001 D.
SLICES: Final = 100


def faces(rows: Rows) -> list[Face]:
    """The surfaces of one table."""
    return [Face(1.0 / radius, index, gap) for radius, index, gap in rows]


def _liou_brennan() -> list[Face]:
    """Cornea, the two halves of the gradient lens as slices, and its back surface."""
    cornea = [Face(1 / 7.77, 1.376, 0.50), Face(1 / 6.40, 1.336, 3.16)]
    front = _slices(1 / 12.40, 1.59, lambda z: 1.368 + 0.049057 * z - 0.015427 * z * z)
    back = _slices(0.0, 2.43, lambda z: 1.407 - 0.006605 * z * z)
    return [*cornea, *front, *back, Face(-1 / 8.10, 1.336, 0.0)]


#: Radial term of the index, both halves: n = n(z) - 0.001978 r^2, 1/mm^2.
RADIAL: Final = -0.001978


def _slices(curvature: float, thickness: float, index: Callable[[float], float]) -> Iterator[Face]:
    """Plane slices, each with the power ``-2 n_r dz`` of its radial gradient in its middle.

    That power is written as a layer of no thickness whose index is higher by one.
    """
    step = thickness / SLICES
    yield Face(curvature, index(0.0), 0.0)
    for number in range(SLICES):
        here = index((number + 0.5) * step)
        yield Face(0.0, here, step / 2)
        yield Face(-2.0 * RADIAL * step, here + 1.0, 0.0)
        yield Face(0.0, here, step / 2)
    yield Face(0.0, index(thickness), 0.0)


def _point(eye: str, source: str, surfaces: list[Face], name: str, value: float, tolerance: float,
           confidence: Confidence = "memory") -> OutsideCheck:  # fmt: skip
    return OutsideCheck(
        f"{eye} {name}", source, confidence, value, tolerance,
        lambda: float(getattr(cardinal_points(surfaces), name)),
    )  # fmt: skip


CHECKS: Final = [
    *(
        _point("Gullstrand No. 1", GULLSTRAND, faces(GULLSTRAND_ROWS), name, value, GULLSTRAND_TOLERANCE)
        for name, value in zip(POINTS, GULLSTRAND_VALUES, strict=True)
    ),
    *(
        _point("Le Grand", LE_GRAND, faces(LE_GRAND_ROWS), name, value, 0.0006)
        for name, value in zip(POINTS, LE_GRAND_VALUES, strict=True)
    ),
    _point("Navarro", NAVARRO, faces(NAVARRO_ROWS), "power_d", 60.416, 0.0006),
    _point("Navarro", NAVARRO, faces(NAVARRO_ROWS), "second_focal_length_mm", 22.114, 0.0006),
    # The surfaces are printed to 0.01 mm; that of the cornea alone is worth 0.03 D.
    _point("Liou and Brennan", LIOU_BRENNAN, _liou_brennan(), "power_d", 60.35, 0.01, "journal"),
    _point("Liou and Brennan", LIOU_BRENNAN, _liou_brennan(), "second_focus_mm", 23.95, 0.005, "journal"),
]
