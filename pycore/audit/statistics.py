"""Point statistics of prediction errors.

The error is ``achieved - predicted``, both spherical equivalents for the lens implanted;
negative means more myopic than predicted. With errors ``e``::

    mean = sum(e)/n    sd = sqrt(sum((e - mean)^2) / (n - 1))    mae = mean |e|
    medae = median |e|    rmse = sqrt(mean e^2)    rmse^2 = mean^2 + sd^2 (n - 1)/n

Shares within a limit include the limit. Definitions: Hoffer KJ, Savini G, Ophthalmology
2021;128:e115-e120 (value from memory). Needs at least one error; ``sd`` needs two. Checked
by tests/reference/test_audit_reference.py and tests/limits/test_audit_identities.py.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from pycore.audit.intervals import Proportion, wilson
from pycore.errors import MissingField

#: Limits of the shares, D, by the key they are reported under.
WITHIN_LIMITS_D: Final[dict[str, float]] = {
    "within_025": 0.25,
    "within_050": 0.50,
    "within_075": 0.75,
    "within_100": 1.00,
}
#: An error this much over a limit is rounding of its decimals, not beyond it, D.
ROUNDING_D: Final = 1e-9


@dataclass(frozen=True, slots=True)
class ErrorSummary:
    """Statistics of prediction errors in D; ``sd_d`` is ``None`` for a single error."""

    n: int
    mean_d: float
    sd_d: float | None
    mae_d: float
    medae_d: float
    rmse_d: float
    within: dict[str, Proportion]


def prediction_error_d(*, predicted_d: float, achieved_d: float) -> float:
    """``achieved - predicted``: negative is more myopic than predicted."""
    return achieved_d - predicted_d


def mean(values: Sequence[float]) -> float:
    """Arithmetic mean; needs at least one value."""
    return math.fsum(values) / len(_some(values))


def standard_deviation(values: Sequence[float]) -> float | None:
    """Standard deviation with ``n - 1``, or ``None`` below two values."""
    if len(values) < 2:
        return None
    centre = mean(values)
    return math.sqrt(math.fsum((value - centre) ** 2 for value in values) / (len(values) - 1))


def median(values: Sequence[float]) -> float:
    """Middle value, or the mean of the two middle ones; needs at least one value."""
    ordered = sorted(_some(values))
    middle = len(ordered) // 2
    if len(ordered) % 2:
        return ordered[middle]
    return (ordered[middle - 1] + ordered[middle]) / 2.0


def root_mean_square(values: Sequence[float]) -> float:
    """``sqrt(mean of squares)``; needs at least one value."""
    return math.sqrt(mean([value * value for value in values]))


def share_within(errors_d: Sequence[float], limit_d: float) -> Proportion:
    """Share of errors of at most ``limit_d`` either way, with its interval."""
    count = sum(abs(error) <= limit_d + ROUNDING_D for error in errors_d)
    return wilson(count, len(_some(errors_d)))


def summarise(errors_d: Sequence[float]) -> ErrorSummary:
    """All statistics of one series; raises :class:`MissingField` when it is empty."""
    sizes = [abs(error) for error in errors_d]
    return ErrorSummary(
        n=len(errors_d),
        mean_d=mean(errors_d),
        sd_d=standard_deviation(errors_d),
        mae_d=mean(sizes),
        medae_d=median(sizes),
        rmse_d=root_mean_square(errors_d),
        within={key: share_within(errors_d, limit) for key, limit in WITHIN_LIMITS_D.items()},
    )


def _some(values: Sequence[float]) -> Sequence[float]:
    if not values:
        raise MissingField("There is no eye to audit. Enter at least one.", field="rows")
    return values
