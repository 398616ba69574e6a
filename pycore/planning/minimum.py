"""Least value of a smooth function of one variable on an interval.

A coarse grid finds the valley, golden-section search (Kiefer, Proc Am Math Soc
1953;4:502-506) its floor. Test: ``tests/limits/test_minimum.py``.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Final

_GOLDEN: Final = (math.sqrt(5.0) - 1.0) / 2.0


def grid(low: float, high: float, *, steps: int) -> tuple[float, ...]:
    """``steps + 1`` evenly spaced values from ``low`` to ``high``, ends exact."""
    return (*(low + (high - low) * index / steps for index in range(steps)), high)


def minimise(
    function: Callable[[float], float], *, low: float, high: float, tolerance: float = 1e-4
) -> float:
    """Where ``function`` is least on ``[low, high]``; an end when it is least there."""
    points = grid(low, high, steps=8)
    values = [function(point) for point in points]
    best = min(range(len(points)), key=values.__getitem__)
    left, right = points[max(best - 1, 0)], points[min(best + 1, len(points) - 1)]
    inner = _golden(function, left, right, tolerance)
    return min((points[best], inner, left, right), key=function)


def _golden(
    function: Callable[[float], float], left: float, right: float, tolerance: float
) -> float:
    first, second = right - _GOLDEN * (right - left), left + _GOLDEN * (right - left)
    at_first, at_second = function(first), function(second)
    while right - left > tolerance:
        if at_first < at_second:
            right, second, at_second = second, first, at_first
            first = right - _GOLDEN * (right - left)
            at_first = function(first)
        else:
            left, first, at_first = first, second, at_second
            second = left + _GOLDEN * (right - left)
            at_second = function(second)
    return (left + right) / 2
