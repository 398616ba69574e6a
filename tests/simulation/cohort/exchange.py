"""The same advice with another lens put in where the product offers one.

The second lens lies partly where the first one did: it shares 0.7 of the first one's
deviation in position and movement (assumption), the rest is drawn anew, as are its label
error and the errors of its own readings. It goes in the right way round.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from pycore.belief.gaussian import Gaussian
from pycore.belief.priors import UNKNOWNS, Prior
from pycore.belief.second_lens import for_second_lens
from pycore.planning.other_options import LEAST_RESIDUAL_D, another_lens
from pycore.planning.titrate import Case, Titration
from tests.simulation.cohort.advised import Advised, advise, first_case
from tests.simulation.cohort.by_hand import read_ends
from tests.simulation.cohort.eyes import PLACEMENTS, Eyes, label_error_d, noise_d
from tests.simulation.cohort.optics import Array
from tests.simulation.cohort.world import World

SHARED = 0.7
#: A full box: half dioptres this far around the first lens.
BOX_D = np.arange(-8.0, 8.5, 0.5)


def residual_d(case: Case, answer: Titration) -> float:
    """Predicted distance from target after titration with the lens that is in."""
    return abs(answer.advice.option.final.mean_d - case.target_d)


def offered_d(case: Case, answer: Titration, *, least_residual_d: float = LEAST_RESIDUAL_D) -> float | None:
    """The other lens's power if it is offered, else ``None``.

    Small residuals are not even asked about: the product would refuse them.
    """
    if residual_d(case, answer) < least_residual_d:
        return None
    found = another_lens(case, answer, [case.eye.lens_power_d + float(step) for step in BOX_D],
                         least_residual_d=least_residual_d)
    return found.outlook.lens_power_d if found and found.offered else None


def exchanged(
    advised: Advised, eyes: Eyes, world: World, *, seed: int, least_residual_d: float = LEAST_RESIDUAL_D
) -> tuple[Array, Eyes, Advised] | None:
    """Which eyes get another lens, these eyes with it, and the advice for it."""
    offers = [offered_d(case, answer, least_residual_d=least_residual_d)
              for case, answer in zip(advised.cases, advised.answers, strict=True)]
    rows = np.array([row for row, power in enumerate(offers) if power is not None], dtype=int)
    if not len(rows):
        return None
    label = np.array([power for power in offers if power is not None])
    second = _second(eyes.part(rows), world, label, np.random.default_rng(seed))
    ends = read_ends(second, world)
    cases = [
        _with_belief(first_case(second, world, ends, place), advised.cases[row], advised.answers[row])
        for place, row in enumerate(rows)
    ]
    return rows, second, advise(cases, second, world)[1]


def _second(eyes: Eyes, world: World, label_d: Array, rng: np.random.Generator) -> Eyes:
    """The same eyes with the second lens in."""
    count, rest = len(eyes), np.sqrt(1 - SHARED**2)
    shift = world.position_shift_mm if world.travel_sign < 0 else 0.0
    spread = np.hypot(world.position_surgeon_sd_mm, world.position_eye_sd_mm)
    travel_spread = np.hypot(world.travel_surgeon_sd, world.travel_eye_sd)
    moved = SHARED * (np.abs(eyes.travel) - world.travel) + rest * travel_spread * rng.standard_normal(count)
    return replace(
        eyes,
        label_d=label_d,
        lens_d=label_d + label_error_d(rng, label_d),
        position_mm=eyes.expected_mm - shift + SHARED * (eyes.position_mm - eyes.expected_mm)
        + rest * spread * rng.standard_normal(count),
        travel=np.maximum(world.travel + moved, 0.0),
        slip_mm=world.slip_sd_mm * rng.standard_normal((count, PLACEMENTS)),
        drift_d=world.drift_sd_d * rng.standard_normal((count, PLACEMENTS)),
        noise_d=noise_d(world, rng, count),
    )


def _with_belief(case: Case, before: Case, answer: Titration) -> Case:
    """The second lens's case with what the first lens's readings taught."""
    belief = for_second_lens(
        answer.after.belief, before.priors, lens_power_d=case.eye.lens_power_d, same_model=True
    )
    return replace(case, priors=_joint(belief))


def _joint(belief: Gaussian) -> dict[str, Prior]:
    """A belief by name, covariances kept."""
    return {
        name: Prior(belief.mean[i], belief.sd(i), tuple(
            (other, belief.covariance[i][j]) for j, other in enumerate(UNKNOWNS) if j != i))
        for i, name in enumerate(UNKNOWNS)
    }
