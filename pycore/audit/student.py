"""Quantiles of Student's t and of F with two numerator degrees of freedom, without a library.

For ``t >= 0`` and ``v`` degrees of freedom, with ``I`` the regularised incomplete beta function::

    P(T <= t) = 1 - I(v / (v + t^2); v/2, 1/2) / 2
    F(2, v; p) = v/2 ((1 - p)^(-2/v) - 1)

``I`` by its continued fraction (Lentz's method), the quantile by bisection to 1e-12. The closed
form for F follows from its distribution function ``1 - (1 + 2 f / v)^(-v/2)``. Valid for
``v >= 1``. Source: Abramowitz M, Stegun IA, Handbook of Mathematical Functions, 1964, sections
26.5 and 26.7 (value from memory). Checked by ``tests/reference/test_series_reference.py``.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Final

from pycore.errors import OutOfRange

#: Coverage of every interval of the audit.
COVERAGE: Final = 0.95
_TINY: Final = 1e-300
_ENOUGH: Final = 1e-15
_MOST_TERMS: Final = 400
_MOST_HALVINGS: Final = 200


def t_central(degrees: int, coverage: float = COVERAGE) -> float:
    """``t`` such that ``coverage`` lies between ``-t`` and ``t``; raises for ``degrees < 1``.

    >>> round(t_central(9), 3)
    2.262
    """
    if degrees < 1 or not 0.0 < coverage < 1.0:
        raise OutOfRange("A t quantile needs a degree of freedom and a coverage below 1.", field="n")
    return _t_central(degrees, coverage)


@lru_cache(maxsize=256)
def _t_central(degrees: int, coverage: float) -> float:
    low, high = 0.0, 1.0
    while _outside(high, degrees) > 1.0 - coverage:
        low, high = high, 2.0 * high
    for _ in range(_MOST_HALVINGS):
        middle = (low + high) / 2.0
        if _outside(middle, degrees) > 1.0 - coverage:
            low = middle
        else:
            high = middle
        if high - low < 1e-12 * high:
            break
    return (low + high) / 2.0


def f_two(degrees: int, coverage: float = COVERAGE) -> float:
    """``F`` with 2 and ``degrees`` degrees of freedom that is not exceeded with ``coverage``."""
    if degrees < 1 or not 0.0 < coverage < 1.0:
        raise OutOfRange("An F quantile needs a degree of freedom and a coverage below 1.", field="n")
    return degrees / 2.0 * math.expm1(-2.0 / degrees * math.log(1.0 - coverage))


def _outside(t: float, degrees: int) -> float:
    """Chance beyond ``-t`` or ``t``."""
    return _incomplete_beta(degrees / (degrees + t * t), degrees / 2.0, 0.5)


def _incomplete_beta(x: float, a: float, b: float) -> float:
    if x <= 0.0 or x >= 1.0:
        return 0.0 if x <= 0.0 else 1.0
    scale = math.exp(
        math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b) + a * math.log(x) + b * math.log1p(-x)
    )
    if x < (a + 1.0) / (a + b + 2.0):
        return scale * _fraction(x, a, b) / a
    return 1.0 - scale * _fraction(1.0 - x, b, a) / b


def _fraction(x: float, a: float, b: float) -> float:
    """Lentz's evaluation of the continued fraction of the incomplete beta function."""
    c, d = 1.0, 1.0 / _kept(1.0 - (a + b) * x / (a + 1.0))
    result = d
    for m in range(1, _MOST_TERMS):
        even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        for term in (even, odd):
            d = 1.0 / _kept(1.0 + term * d)
            c = _kept(1.0 + term / c)
            result *= d * c
        if abs(d * c - 1.0) < _ENOUGH:
            break
    return result


def _kept(value: float) -> float:
    return value if abs(value) > _TINY else _TINY
