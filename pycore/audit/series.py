"""One series of refraction errors with an interval on every figure that has a closed form.

Errors are achieved minus expected, D: negative is more myopic than expected. The mean and the
shares have closed intervals that respect persons (:mod:`pycore.audit.clusters`); SD, mean and
median distance and RMSE get theirs by bootstrap (:mod:`pycore.audit.bootstrap`), later, so that
no figure waits. A series that is empty has no summary.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pycore.audit.clusters import Estimate, mean_estimate, persons_of, share_estimate
from pycore.audit.intervals import Proportion
from pycore.audit.statistics import (
    WITHIN_LIMITS_D,
    mean,
    median,
    root_mean_square,
    standard_deviation,
)


@dataclass(frozen=True, slots=True)
class SeriesSummary:
    """Figures of one series in D; ``sd_d`` is ``None`` for a single eye."""

    n: int
    persons: int
    mean_d: Estimate
    sd_d: float | None
    mae_d: float
    medae_d: float
    rmse_d: float
    low_d: float
    high_d: float
    within: dict[str, Proportion]


def summarise_series(errors_d: Sequence[float], persons: Sequence[str]) -> SeriesSummary | None:
    """All figures of a series; ``None`` when it is empty."""
    if not errors_d:
        return None
    sizes = [abs(error) for error in errors_d]
    return SeriesSummary(
        n=len(errors_d),
        persons=persons_of(persons),
        mean_d=mean_estimate(errors_d, persons),
        sd_d=standard_deviation(errors_d),
        mae_d=mean(sizes),
        medae_d=median(sizes),
        rmse_d=root_mean_square(errors_d),
        low_d=min(errors_d),
        high_d=max(errors_d),
        within={
            key: share_estimate(errors_d, limit, persons) for key, limit in WITHIN_LIMITS_D.items()
        },
    )
