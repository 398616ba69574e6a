"""Attempted against achieved: counted points on a grid, and the straight line through them.

Least squares of achieved on attempted, ``y = a + b x``, with ``R^2 = Sxy^2 / (Sxx Syy)``. Drawn
are points on a grid of an eighth of a dioptre with how many eyes share them: refractions are
written in such steps, and ten thousand dots would hide each other. The line is through the values
themselves. Below three eyes, or when every eye had the same attempt, there is no line. Halves of
the grid go away from zero. Checked by ``tests/published/test_audit_published.py`` (NIST certified
regression) and ``tests/reference/test_series_reference.py``.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from pycore.audit.statistics import mean

GRID_D: Final = 0.125
LEAST_EYES: Final = 3


@dataclass(frozen=True, slots=True)
class Line:
    """``achieved = intercept + slope * attempted``."""

    slope: float
    intercept_d: float
    r_squared: float | None


@dataclass(frozen=True, slots=True)
class Point:
    """A place of the grid and how many eyes lie there."""

    x_d: float
    y_d: float
    eyes: int


def regression(x: Sequence[float], y: Sequence[float]) -> Line | None:
    """The least-squares line; ``None`` when it is not determined."""
    if len(x) < LEAST_EYES:
        return None
    centre_x, centre_y = mean(x), mean(y)
    sxx = math.fsum((one - centre_x) ** 2 for one in x)
    syy = math.fsum((one - centre_y) ** 2 for one in y)
    sxy = math.fsum((a - centre_x) * (b - centre_y) for a, b in zip(x, y, strict=True))
    if sxx < 1e-12 * len(x):
        return None
    slope = sxy / sxx
    return Line(slope, centre_y - slope * centre_x, sxy * sxy / (sxx * syy) if syy > 0.0 else None)


def points(x: Sequence[float], y: Sequence[float]) -> tuple[Point, ...]:
    """Every place of the grid that holds an eye, in order."""
    counts = Counter((_grid(a), _grid(b)) for a, b in zip(x, y, strict=True))
    return tuple(Point(a * GRID_D, b * GRID_D, eyes) for (a, b), eyes in sorted(counts.items()))


def _grid(value: float) -> int:
    size = math.floor(abs(value) / GRID_D + 0.5)
    return size if value >= 0 else -size
