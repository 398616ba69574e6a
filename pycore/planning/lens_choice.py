"""What to expect from each lens before surgery, without and with titration.

Without titration the lens is flanged at the reference length. With it, the readings will
leave a known spread, and beforehand their mean is spread by the rest of the plan's variance;
the haptics then take up what lies within their reach. The chance after titration integrates
over that mean (pre-posterior analysis: Raiffa & Schlaifer, Applied Statistical Decision
Theory, Harvard 1961, chapter 5). Tests: ``tests/simulation/test_lens_choice.py``.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Final

from pycore.belief.calibration import UNCALIBRATED, Calibration
from pycore.belief.eye import REFERENCE_OUTSIDE_MM, EyeModel, predict_reading
from pycore.belief.gaussian import Gaussian, Linearised, observe
from pycore.belief.linear import dot
from pycore.belief.normal import chances_within, density
from pycore.belief.outcome import FinalView, Outcome
from pycore.belief.priors import (
    DRIFT_SD_D,
    SLIP_SD_MM,
    UNKNOWNS,
    Prior,
)
from pycore.belief.readings import prior_belief
from pycore.fixation.haptic import FlangePlan, reachable_mm
from pycore.planning.titration import WITHIN_D, Option, option_at

#: Surprises beyond this many SD carry less than 1e-8 of the weight.
_WIDEST_SD: Final = 6.0
_NODES: Final = 121


@dataclass(frozen=True, slots=True)
class LensOutlook:
    """One lens: outcome at the reference length, the reach, the chance after titration."""

    lens_power_d: float
    plan: Outcome
    reach: tuple[Option, Option]
    titrated_within_050: float


@dataclass(frozen=True, slots=True)
class Share:
    """How much one unknown contributes to the plan's variance; shares sum to one."""

    name: str
    sd_d: float
    share: float


def outlook(
    eye: EyeModel,
    priors: dict[str, Prior],
    plan: FlangePlan,
    *,
    target_d: float,
    instrument: str = "aberrometer",
    calibration: Calibration = UNCALIBRATED,
) -> LensOutlook:
    """The outlook of the lens in ``eye``, three readings being planned."""
    return outlook_from(
        eye, prior_belief(priors), plan,
        target_d=target_d, instrument=instrument, calibration=calibration,
    )


def outlook_from(
    eye: EyeModel,
    belief: Gaussian,
    plan: FlangePlan,
    *,
    target_d: float,
    instrument: str = "aberrometer",
    calibration: Calibration = UNCALIBRATED,
) -> LensOutlook:
    """The same from any belief; three readings of this lens are still to come."""
    view = FinalView.of(eye, belief, factor=calibration.plan_factor)
    low, high = reachable_mm(plan)
    reach = (option_at(view, plan, low), option_at(view, plan, high))
    return LensOutlook(
        lens_power_d=eye.lens_power_d,
        plan=view.at(REFERENCE_OUTSIDE_MM),
        reach=reach,
        titrated_within_050=_titrated_chance(
            view, belief, reach, instrument, target_d=target_d, calibration=calibration
        ),
    )


def _titrated_chance(
    view: FinalView,
    belief: Gaussian,
    reach: tuple[Option, Option],
    instrument: str,
    *,
    target_d: float,
    calibration: Calibration,
) -> float:
    """Chance within 0.50 D once the haptics have taken up what they can reach."""
    middle = (reach[0].outside_mm + reach[1].outside_mm) / 2
    planned = (reach[1].outside_mm, reach[0].outside_mm, middle)
    noise_sd_d = calibration.noise_sd_d[instrument]
    known = _after_planned(view.eye, belief, planned, instrument, noise_sd_d=noise_sd_d)
    later = FinalView.of(view.eye, known, factor=calibration.after_factor)
    before, after = view.at(middle), later.at(middle)
    spread = math.sqrt(max(before.sd_d**2 - after.sd_d**2, 0.0))
    nodes, weights = _normal_nodes()
    rests = _rests(reach, [z * spread for z in nodes], target_d)
    return dot(weights, chances_within(WITHIN_D, means=rests, sd=after.sd_d))


def _rests(reach: tuple[Option, Option], shifts_d: Sequence[float], target_d: float) -> list[float]:
    """What the haptics cannot take up when the eye turns out so far from the plan.

    Drawn out is the more myopic end with a plus lens, the more hyperopic one with a minus lens.
    """
    myopic, hyperopic = sorted(option.final.mean_d for option in reach)
    return [
        rest if (rest := hyperopic + shift - target_d) < 0 else max(myopic + shift - target_d, 0.0)
        for shift in shifts_d
    ]


@cache
def _normal_nodes() -> tuple[list[float], list[float]]:
    """Evenly spaced nodes and their weights: a Gauss rule would miss the clipped corners."""
    step = 2 * _WIDEST_SD / (_NODES - 1)
    nodes = [-_WIDEST_SD + step * index for index in range(_NODES)]
    total = math.fsum(density(z) for z in nodes)
    return nodes, [density(z) / total for z in nodes]


def _after_planned(
    eye: EyeModel,
    belief: Gaussian,
    lengths_mm: Sequence[float],
    instrument: str,
    *,
    noise_sd_d: float,
) -> Gaussian:
    """Belief after one reading at each length, each reading as expected.

    The spread does not depend on what is read, so the expected readings serve.
    """
    rows = [
        predict_reading(
            eye, belief.mean, outside_mm=length, instrument=instrument, latest=False
        )
        for length in lengths_mm
    ]
    own = noise_sd_d**2 + DRIFT_SD_D**2
    variances = [own + (row.per_position * SLIP_SD_MM) ** 2 for row in rows]
    size = range(len(rows))
    model = Linearised(
        at=belief.mean,
        value=tuple(row.value_d for row in rows),
        rows=tuple(row.gradient for row in rows),
        noise=tuple(tuple(variances[i] if i == j else 0.0 for j in size) for i in size),
    )
    return observe(belief, [row.value_d for row in rows], model).belief


def budget(eye: EyeModel, priors: dict[str, Prior]) -> tuple[Share, ...]:
    """What makes the plan's interval wide, largest first.

    Each unknown's SD in dioptres at the reference length; ``carrying_out`` is the slip and
    execution of the last step. Unknowns are independent before any reading unless a
    surgeon's history links them; then each carries its part of what they share.
    """
    view = FinalView.of(eye, prior_belief(priors))
    final = view.linear(REFERENCE_OUTSIDE_MM)
    spreads = {
        name: _spread_d(view.belief, final.gradient, index)
        for index, name in enumerate(UNKNOWNS)
        if final.gradient[index]
    }
    spreads["carrying_out"] = math.sqrt(view.step_variance(final))
    total = math.fsum(sd * sd for sd in spreads.values())
    shares = (Share(name, sd, sd * sd / total) for name, sd in spreads.items())
    return tuple(sorted(shares, key=lambda part: -part.sd_d))


def _spread_d(belief: Gaussian, gradient: Sequence[float], index: int) -> float:
    """``g sd``, or the root of ``g_i (P g)_i`` when the unknown is linked to others."""
    row = belief.covariance[index]
    if not any(value for other, value in enumerate(row) if other != index):
        return abs(gradient[index]) * belief.sd(index)
    return math.sqrt(max(gradient[index] * dot(row, gradient), 0.0))
