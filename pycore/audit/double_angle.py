"""The double-angle plot of refractive cylinders: points, centroid and two ellipses.

A cylinder of magnitude ``C`` at the axis ``a`` of its minus form stands at ``(C cos 2a, C sin
2a)``, so that axes 0 and 180 meet and opposite cylinders cancel. With ``S`` the covariance of
``n`` points and ``F = F(2, n - 2; 0.95)``::

    ellipse of the centroid  (x - mean)' S^-1 (x - mean) = 2 (n - 1) / (n (n - 2)) F
    ellipse of the eyes      (x - mean)' S^-1 (x - mean) = 2 (n - 1) / (n - 2) (1 + 1/n) F

The first holds the true mean with 95 % confidence (Hotelling), the second 95 % of further eyes
(prediction). With both eyes of a person among them, the first uses the covariance of persons' sums and
``m`` persons. Below three persons, or when all points lie on one line, there is no ellipse.

Sources: double angle and centroid, Holladay JT, Moran JR, Kezirian GM, J Cataract Refract Surg
2001;27:61-79; both ellipses, Johnson RA, Wichern DW, Applied Multivariate Statistical Analysis,
chapter 5 (values from memory). Checked by ``tests/reference/test_series_reference.py`` and
``tests/limits/test_double_angle.py``.
"""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from pycore.audit.scatter import GRID_D, Point
from pycore.audit.statistics import mean
from pycore.audit.student import f_two
from pycore.optics.refraction import LEVEL_AXIS_DEG, normal_axis_deg

LEAST_PERSONS: Final = 3
#: A smaller determinant, relative to the trace squared, is one line with rounding.
_FLAT: Final = 1e-12
_OUTLINE_POINTS: Final = 72
#: Points on a finer grid than the refraction's own steps, so that no axis is moved visibly.
_FINE_D: Final = GRID_D / 4

Vector = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Ellipse:
    """Half axes in D; ``turned_deg`` from the x axis to the long one, counter-clockwise."""

    long_d: float
    short_d: float
    turned_deg: float
    outline: tuple[Vector, ...]


@dataclass(frozen=True, slots=True)
class DoubleAngle:
    """The plot's data; the centroid also as a cylinder at an axis."""

    n: int
    points: tuple[Point, ...]
    centroid: Vector
    cylinder_d: float
    axis_deg: float
    mean_magnitude_d: float
    of_centroid: Ellipse | None
    of_eyes: Ellipse | None


def place(cylinder_d: float, axis_deg: float) -> Vector:
    """Where a minus cylinder stands on the plot.

    >>> [round(part, 12) + 0.0 for part in place(-2.0, 90)]
    [-2.0, 0.0]
    """
    double = math.radians(2.0 * axis_deg)
    size = abs(cylinder_d)
    return size * math.cos(double), size * math.sin(double)


def double_angle(places: Sequence[Vector], persons: Sequence[str]) -> DoubleAngle | None:
    """Everything the plot shows; ``None`` without an eye."""
    if not places:
        return None
    centre = (mean([x for x, _ in places]), mean([y for _, y in places]))
    size = math.hypot(*centre)
    axis = math.degrees(math.atan2(centre[1], centre[0])) / 2.0
    return DoubleAngle(
        n=len(places),
        points=_points(places),
        centroid=centre,
        cylinder_d=-size if size > 0.0 else 0.0,
        axis_deg=normal_axis_deg(axis) if size > 0.0 else LEVEL_AXIS_DEG,
        mean_magnitude_d=mean([math.hypot(x, y) for x, y in places]),
        of_centroid=_of_centroid(places, persons, centre),
        of_eyes=_of_eyes(places, persons, centre),
    )


def _points(places: Sequence[Vector]) -> tuple[Point, ...]:
    counts = Counter((round(x / _FINE_D), round(y / _FINE_D)) for x, y in places)
    return tuple(Point(a * _FINE_D, b * _FINE_D, eyes) for (a, b), eyes in sorted(counts.items()))


def _of_eyes(places: Sequence[Vector], persons: Sequence[str], centre: Vector) -> Ellipse | None:
    count = len(places)
    if len(set(persons)) < LEAST_PERSONS:
        return None
    spread = _squares([(x - centre[0], y - centre[1]) for x, y in places])
    covariance = tuple(part / (count - 1) for part in spread)
    return _ellipse(covariance, centre, 2.0 * (count - 1) / (count - 2) * (1 + 1 / count) * f_two(count - 2))


def _of_centroid(places: Sequence[Vector], persons: Sequence[str], centre: Vector) -> Ellipse | None:
    sums: dict[str, list[float]] = defaultdict(lambda: [0.0, 0.0])
    for (x, y), person in zip(places, persons, strict=True):
        sums[person][0] += x - centre[0]
        sums[person][1] += y - centre[1]
    clusters, count = len(sums), len(places)
    if clusters < LEAST_PERSONS:
        return None
    factor = clusters / (clusters - 1) / count**2
    covariance = tuple(part * factor for part in _squares([(x, y) for x, y in sums.values()]))
    return _ellipse(covariance, centre, 2.0 * (clusters - 1) / (clusters - 2) * f_two(clusters - 2))


def _squares(vectors: Sequence[Vector]) -> tuple[float, float, float]:
    return (math.fsum(x * x for x, _ in vectors), math.fsum(x * y for x, y in vectors),
            math.fsum(y * y for _, y in vectors))


def _ellipse(covariance: Sequence[float], centre: Vector, radius_squared: float) -> Ellipse | None:
    """The ellipse ``v' S^-1 v = radius_squared`` about ``centre``."""
    xx, xy, yy = covariance
    if xx * yy - xy * xy <= _FLAT * (xx + yy) ** 2:
        return None
    middle, apart = (xx + yy) / 2.0, math.hypot((xx - yy) / 2.0, xy)
    turned = math.atan2(2.0 * xy, xx - yy) / 2.0
    long, short = (math.sqrt(radius_squared * (middle + sign * apart)) for sign in (1.0, -1.0))
    outline = tuple(_on_outline(centre, long, short, turned, step) for step in range(_OUTLINE_POINTS + 1))
    return Ellipse(long, short, math.degrees(turned), outline)


def _on_outline(centre: Vector, long: float, short: float, turned: float, step: int) -> Vector:
    angle = 2.0 * math.pi * (step % _OUTLINE_POINTS) / _OUTLINE_POINTS
    along, across = long * math.cos(angle), short * math.sin(angle)
    return (centre[0] + along * math.cos(turned) - across * math.sin(turned),
            centre[1] + along * math.sin(turned) + across * math.cos(turned))
