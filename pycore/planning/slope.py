"""The slope of the readings over length outside, its own noise, and the sign it should have.

Least squares, ``slope = sum w_i y_i`` with ``w_i = (e_i - mean e) / sum (e_j - mean e)^2``, D per
mm. The weights sum to nothing, so the instrument's bias cancels. Variance, for placements ``p``::

    sum w_i^2 n_i^2 + sum_p (sum_p w_i)^2 (drift^2 + (slip r)^2) + sum_p (sum_p w_i l_i)^2 (k r)^2

with ``n`` the reading's noise SD, ``l`` the SD of a length assumed from a named end, ``r`` the
refraction per mm of lens position and ``k`` the optic movement per mm of haptic. Gross readings
are left to :mod:`pycore.belief.readings`.

Sign. Drawing haptic out brings the optic forward: with a plus lens the eye becomes more myopic, so
the slope should be negative; with a minus lens more hyperopic, so positive. Tests:
``tests/unit/test_slope.py``.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from pycore.belief.eye import EyeModel
from pycore.belief.priors import DRIFT_SD_D, SLIP_SD_MM
from pycore.belief.readings import Reading
from pycore.optics.vergence import refraction_and_slopes

#: Readings whose squared distances from their mean length sum to less than this, mm^2, were
#: taken at one length and have no slope.
_ONE_LENGTH_MM2: Final = 1e-6


@dataclass(frozen=True, slots=True)
class Slope:
    """D per mm of haptic with its SD; ``against`` is above zero for the unexpected sign."""

    d_per_mm: float
    sd: float
    against_d_per_mm: float

    @property
    def beyond_noise(self) -> bool:
        """Against the expected sign by more than its own SD."""
        return self.against_d_per_mm > self.sd

    @property
    def within_noise(self) -> bool:
        """Against the expected sign, but by no more than its own SD."""
        return 0.0 < self.against_d_per_mm <= self.sd


def slope_d_per_mm(readings: Sequence[Reading]) -> float | None:
    """Least-squares slope of the readings over length outside; ``None`` at one length."""
    weights = _weights(readings)
    if weights is None:
        return None
    return math.fsum(w * r.refraction_d for w, r in zip(weights, readings, strict=True))


def slope_of(eye: EyeModel, readings: Sequence[Reading], *, travel_ratio: float) -> Slope | None:
    """The slope with its noise in ``eye``; ``None`` at one length or where none is expected.

    ``travel_ratio`` is the expected optic movement per mm of haptic.
    """
    weights = _weights(readings)
    per_mm = refraction_and_slopes(
        axial_length_mm=eye.axial_length_mm,
        lens_position_mm=eye.lens_position_mm,
        corneal_power_d=eye.corneal_power_d,
        lens_power_d=eye.lens_power_d,
    ).per_lens_position
    if weights is None or per_mm == 0.0:
        return None
    slope = math.fsum(w * r.refraction_d for w, r in zip(weights, readings, strict=True))
    variance = _variance(weights, readings, per_mm, travel_ratio)
    return Slope(slope, math.sqrt(variance), slope if per_mm > 0.0 else -slope)


def _weights(readings: Sequence[Reading]) -> list[float] | None:
    if not readings:
        return None
    mean = math.fsum(r.outside_mm for r in readings) / len(readings)
    spread = math.fsum((r.outside_mm - mean) ** 2 for r in readings)
    return None if spread < _ONE_LENGTH_MM2 else [(r.outside_mm - mean) / spread for r in readings]


def _variance(
    weights: Sequence[float], readings: Sequence[Reading], per_mm: float, travel_ratio: float
) -> float:
    own = math.fsum((w * r.noise_sd_d) ** 2 for w, r in zip(weights, readings, strict=True))
    placement = DRIFT_SD_D**2 + (SLIP_SD_MM * per_mm) ** 2
    return math.fsum((
        own,
        placement * _by_placement(weights, readings, lambda reading: 1.0),
        (travel_ratio * per_mm) ** 2 * _by_placement(weights, readings, lambda reading: reading.length_sd_mm),
    ))  # fmt: skip


def _by_placement(
    weights: Iterable[float], readings: Sequence[Reading], share: Callable[[Reading], float]
) -> float:
    """Squares of the sums over each placement of the haptics, added up."""
    sums: dict[int, float] = {}
    for weight, reading in zip(weights, readings, strict=True):
        sums[reading.placement] = sums.get(reading.placement, 0.0) + weight * share(reading)
    return math.fsum(value * value for value in sums.values())
