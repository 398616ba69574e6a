"""The refraction to expect for a final state of the haptics, as a normal distribution.

``mean = final(x)`` and ``variance = g P g^T`` plus what the last step adds: a fresh slip
and the error of carrying out the cut, unless nothing moves any more. Chances are fractions.
Tests: ``tests/simulation/test_importance.py``.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from pycore.belief.eye import EyeModel, Predicted, predict_final
from pycore.belief.gaussian import Gaussian, keep_positive
from pycore.belief.normal import CENTRAL_80, chance_within, expected_distance
from pycore.belief.priors import EXECUTION_SD_MM, SLIP_SD_MM, TRAVEL


@dataclass(frozen=True, slots=True)
class Outcome:
    """A predicted refraction in dioptres, spherical equivalent at 12 mm."""

    mean_d: float
    sd_d: float

    @property
    def low80_d(self) -> float:
        return self.mean_d - CENTRAL_80 * self.sd_d

    @property
    def high80_d(self) -> float:
        return self.mean_d + CENTRAL_80 * self.sd_d

    def chance_within(self, distance_d: float, *, target_d: float) -> float:
        """Chance that the refraction lies within ``distance_d`` of ``target_d``."""
        return chance_within(distance_d, mean=self.mean_d - target_d, sd=self.sd_d)

    def expected_error_d(self, *, target_d: float) -> float:
        """Expected distance from ``target_d``."""
        return expected_distance(mean=self.mean_d - target_d, sd=self.sd_d)

    def squared_error(self, *, target_d: float) -> float:
        """Expected squared distance from ``target_d``, D squared."""
        return (self.mean_d - target_d) ** 2 + self.sd_d**2


@dataclass(frozen=True, slots=True)
class FinalView:
    """Predictions of the final refraction from one belief.

    The bound ``travel_ratio > 0`` is applied here once, not in the stored belief.
    ``unmoved`` says that the haptics stay as they were at the latest reading; ``factor``
    multiplies the SD of every outcome.
    """

    eye: EyeModel
    belief: Gaussian
    unmoved: bool = False
    factor: float = 1.0

    @classmethod
    def of(
        cls, eye: EyeModel, belief: Gaussian, *, unmoved: bool = False, factor: float = 1.0
    ) -> FinalView:
        return cls(eye, keep_positive(belief, TRAVEL), unmoved, factor)

    def at(self, outside_mm: float) -> Outcome:
        """Outcome when the mean length outside ends at ``outside_mm``."""
        predicted = self.linear(outside_mm)
        return Outcome(predicted.value_d, self.factor * math.sqrt(self.variance_of(predicted)))

    def variance_of(self, predicted: Predicted) -> float:
        """Variance of a final refraction before the calibration factor, D squared."""
        return self.belief.variance_along(predicted.gradient) + self.step_variance(predicted)

    def linear(self, outside_mm: float) -> Predicted:
        """Mean and gradient over the unknowns."""
        return predict_final(
            self.eye, self.belief.mean, outside_mm=outside_mm, unmoved=self.unmoved
        )

    def step_variance(self, predicted: Predicted) -> float:
        """Variance that the last step itself adds, D squared.

        Execution errs by 0.25 mm a side, so by 0.25 / sqrt 2 in the mean of both sides,
        times the optic's movement per mm, whose own spread counts too.
        """
        if self.unmoved:
            return 0.0
        ratio, spread = self.belief.mean[TRAVEL], self.belief.sd(TRAVEL)
        execution = (ratio**2 + spread**2) * EXECUTION_SD_MM**2 / 2
        return predicted.per_position**2 * (SLIP_SD_MM**2 + execution)
