"""Readings that measure the same thing, taken together exactly.

Readings at one length outside with one instrument share their expected value, and those at
one placement share its slip and drift too. For independent errors with variances ``v_i``
around a common value ``f`` the density factors without loss (Gelman et al., Bayesian Data
Analysis, 3rd ed., Chapman & Hall 2013, section 2.5)::

    prod N(y_i; f, v_i) = N(m; f, 1/W) * rest,   W = sum 1/v_i,   m = sum (y_i / v_i) / W
    log rest = -(sum (y_i - m)^2 / v_i + sum log v_i + log W + (n - 1) log 2 pi) / 2

so the equations to solve grow with the number of different lengths, not of readings. Test:
``tests/limits/test_repeats.py``.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from pycore.belief.linear import dot


@dataclass(frozen=True, slots=True)
class Merged:
    """One value with its variance in place of several, and the density that is left over."""

    value: float
    variance: float
    log_rest: float = 0.0


def merged(parts: Sequence[Merged]) -> Merged:
    """All parts as one; their errors must be independent."""
    if len(parts) == 1:
        return parts[0]
    weights = [1.0 / part.variance for part in parts]
    total = math.fsum(weights)
    value = dot(weights, [part.value for part in parts]) / total
    surprise = math.fsum(w * (part.value - value) ** 2 for w, part in zip(weights, parts, strict=True))
    spread = math.fsum(math.log(part.variance) for part in parts) + math.log(total)
    rest = -0.5 * (surprise + spread + (len(parts) - 1) * math.log(2 * math.pi))
    return Merged(value, 1.0 / total, rest + math.fsum(part.log_rest for part in parts))


def gathered(items: Iterable[Any], key: Callable[[Any], Any]) -> list[list[Any]]:
    """Items with equal keys together, in the order in which each key first came."""
    groups: dict[Any, list[Any]] = {}
    for item in items:
        groups.setdefault(key(item), []).append(item)
    return list(groups.values())
