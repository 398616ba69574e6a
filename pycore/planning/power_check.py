"""Do the readings belong to this eye and this lens? A gross check before anything is cut.

Each reading against what the plan alone expects there, in SDs of the plan's belief and the
reading's noise together, without anything learned from the readings::

    z = (y - R(plan)) / sqrt(var plan + noise^2 + (length SD x movement)^2)

Another patient's measurements, the other eye's, a lens of another power or sign, and a
retinoscopy that still holds its working distance all show here and nowhere else. Beyond
:data:`LEAST_SDS` at every reading the plan is contradicted (1.2 % of eyes by chance; our
judgement, the same as for the aphakic reading). Tests: ``tests/unit/test_power_check.py``.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from pycore.belief.eye import predict_reading
from pycore.belief.gaussian import Gaussian
from pycore.belief.priors import TRAVEL
from pycore.belief.readings import Reading, prior_belief
from pycore.planning.titrate import Case

LEAST_SDS: Final = 2.5
#: A retinoscopy this far toward hyperopia may hold its working distance still (our judgement).
GROSS_SDS: Final = 1.5
#: What a working distance of 67 cm, the commonest, leaves in a lens that is not net, D.
USUAL_DISTANCE_D: Final = 1.5


@dataclass(frozen=True, slots=True)
class Surprise:
    """A reading less what the plan expects there: D (minus: more myopic), and in SDs."""

    by_d: float
    sds: float


def surprises(case: Case) -> tuple[Surprise, ...]:
    """Each reading against the plan alone, in the order taken."""
    return tuple(_surprises(case, prior_belief(case.priors)))


def contradiction(found: tuple[Surprise, ...]) -> Surprise | None:
    """The least of the surprises when every reading contradicts the plan the same way."""
    if not found or len({one.by_d > 0.0 for one in found}) > 1:
        return None
    least = min(found, key=lambda one: abs(one.sds))
    return least if abs(least.sds) >= LEAST_SDS else None


def may_hold_distance(found: Surprise) -> bool:
    """Whether a net retinoscopy would fit much better with a working distance taken off."""
    per_d = found.sds / found.by_d if found.by_d else 0.0
    without = (found.by_d - USUAL_DISTANCE_D) * per_d
    return found.sds >= GROSS_SDS and abs(without) < found.sds / 2


def _surprises(case: Case, plan: Gaussian) -> Iterator[Surprise]:
    for reading in case.readings:
        expected = predict_reading(
            case.eye, plan.mean, outside_mm=reading.outside_mm, instrument=reading.instrument, latest=True
        )
        known = plan.variance_along(expected.gradient) * case.calibration.plan_factor**2
        variance = known + _own_variance(reading, per_mm=expected.per_position * plan.mean[TRAVEL])
        by = reading.refraction_d - expected.value_d
        yield Surprise(by, by / math.sqrt(variance))


def _own_variance(reading: Reading, *, per_mm: float) -> float:
    return reading.noise_sd_d**2 + (reading.length_sd_mm * per_mm) ** 2
