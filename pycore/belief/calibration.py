"""How wide to predict, once a surgeon's own eyes have been compared with their predictions.

Factors multiply predicted SDs and never move a mean; the noise is that of one reading by
instrument. Without a history everything is as assumed. Test: ``tests/unit/test_surgeon_learn.py``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from pycore.belief.priors import READING_NOISE_SD_D


@dataclass(frozen=True, slots=True)
class Calibration:
    """One factor before readings, one after them, and the noise SD of each instrument."""

    plan_factor: float = 1.0
    after_factor: float = 1.0
    noise_sd_d: Mapping[str, float] = field(default_factory=lambda: READING_NOISE_SD_D)

    def factor(self, *, read: bool) -> float:
        """The factor for a prediction with or without readings behind it."""
        return self.after_factor if read else self.plan_factor


UNCALIBRATED = Calibration()
