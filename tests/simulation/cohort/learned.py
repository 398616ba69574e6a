"""Surgeons who learn: 100 own eyes each, then fresh eyes planned and titrated with them.

The training eyes are operated as advised without any history and followed up once; what
the product learns after 5, 10, 30 and 100 of them serves the same fresh eyes, whose lens is
then chosen anew. One row of the result is one surgeon, so that standard errors count
surgeons and not their eyes.
"""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace

import numpy as np

from pycore.belief.outcome import FinalView
from pycore.belief.readings import prior_belief
from pycore.belief.surgeon import SurgeonBelief, learn
from pycore.belief.surgeon_eye import LearningEye, Lesson, lesson
from pycore.planning.titrate import Case
from tests.simulation.cohort.advised import advise, first_case, plan_interval
from tests.simulation.cohort.by_hand import no_titration, read_ends
from tests.simulation.cohort.eyes import Eyes, draw
from tests.simulation.cohort.optics import Array
from tests.simulation.cohort.play import SEED, Played, followed, interval_held
from tests.simulation.cohort.scenarios import SCENARIOS
from tests.simulation.cohort.theatre import final_d
from tests.simulation.cohort.world import REFERENCE_MM, World

OWN_EYES = (5, 10, 30, 100)
FRESH = 25
#: Scenarios in which there is something to learn, and the plain one.
SCENARIO_NAMES = ("plain", "deep_surgeon", "instrument_off", "noise_double", "spread_025", "settle_045")
_STEPS_D = [0.5 * step for step in range(-6, 7)]


@dataclass(frozen=True, slots=True)
class Surgeon:
    """One surgeon of a scenario."""

    scenario: str
    number: int
    seed: int


def play_learning(scenario: str, *, surgeons: int, seed: int = SEED, pool: ProcessPoolExecutor | None = None
                  ) -> dict[str, Played]:
    """All policies of ``surgeons`` surgeons on their fresh eyes; one row a surgeon."""
    todo = [Surgeon(scenario, number, seed) for number in range(surgeons)]
    parts = list(pool.map(play_surgeon, todo) if pool else map(play_surgeon, todo))
    return {name: _by_surgeon([part[name] for part in parts]) for name in parts[0]}


def play_surgeon(surgeon: Surgeon) -> dict[str, Played]:
    """What one surgeon's fresh eyes come to."""
    world = SCENARIOS[surgeon.scenario].world
    count = max(OWN_EYES) + FRESH
    seed = surgeon.seed + 1 + surgeon.number
    eyes = draw(world, count=count, seed=seed, eyes_per_surgeon=count)
    lessons = lessons_of(eyes.part(slice(0, max(OWN_EYES))), world)
    fresh = eyes.part(slice(max(OWN_EYES), count))
    played = _fresh(fresh, world, None, 0)
    for own in OWN_EYES:
        played |= _fresh(fresh, world, learn(lessons[:own]).belief, own)
    return played


def lessons_of(eyes: Eyes, world: World) -> Sequence[Lesson]:
    """What these eyes teach: operated as advised without any history, followed up once."""
    ends = read_ends(eyes, world)
    advised = advise([first_case(eyes, world, ends, row) for row in range(len(eyes))], eyes, world)[1]
    seen = final_d(eyes, world, advised.side_mm)[:, 0]
    return [
        lesson(LearningEye(
            code=f"{row:04d}", on=f"{2000 + row}-01-01", eye=case.eye, priors=case.priors,
            readings=case.readings, final_outside_mm=float(advised.side_mm[row]),
            follow_up_d=float(seen[row]),
        ))
        for row, case in enumerate(advised.cases)
    ]


def _fresh(eyes: Eyes, world: World, surgeon: SurgeonBelief | None, own: int) -> dict[str, Played]:
    """Fresh eyes planned with what is known, flanged at once and titrated."""
    eyes, cases = _planned(eyes, world, surgeon)
    planned = final_d(eyes, world, no_titration(eyes, world, read_ends(eyes, world)))
    held = interval_held(planned, *plan_interval(cases))
    suffix = f"_{own}" if own else ""
    return {
        f"no_titration{suffix}": Played(planned - world.target_d, held),
        f"advice{suffix}": followed(eyes, world, advise(cases, eyes, world)[1]),
    }


def planned_d(eyes: Eyes, world: World, surgeon: SurgeonBelief | None) -> Array:
    """Refraction of fresh eyes planned with what is known and flanged at once."""
    eyes, _ = _planned(eyes, world, surgeon)
    return final_d(eyes, world, no_titration(eyes, world, read_ends(eyes, world)))


def _planned(eyes: Eyes, world: World, surgeon: SurgeonBelief | None) -> tuple[Eyes, list[Case]]:
    """The eyes with the lens that is planned for each, and their cases after both ends were read."""
    ends = read_ends(eyes, world)
    cases = [first_case(eyes, world, ends, row, surgeon) for row in range(len(eyes))]
    eyes = eyes.with_label(np.array([_planned_lens_d(case) for case in cases]))
    ends = read_ends(eyes, world)
    return eyes, [first_case(eyes, world, ends, row, surgeon) for row in range(len(eyes))]


def _planned_lens_d(case: Case) -> float:
    """The lens whose plan at the reference length is nearest the target."""
    powers = [case.eye.lens_power_d + step for step in _STEPS_D]
    return min(powers, key=lambda power: abs(_plan_d(case, power) - case.target_d))


def _plan_d(case: Case, power_d: float) -> float:
    eye = replace(case.eye, lens_power_d=power_d)
    return FinalView.of(eye, prior_belief(case.priors)).linear(REFERENCE_MM).value_d


def _by_surgeon(parts: Sequence[Played]) -> Played:
    def averaged(values: Sequence[Array | None]) -> Array | None:
        known = [value.mean() for value in values if value is not None]
        return np.array(known) if known else None

    return Played(
        off_d=np.array([part.off_d.ravel() for part in parts]),
        covered=averaged([part.covered for part in parts]),
        promised=averaged([part.promised for part in parts]),
        readings=averaged([part.readings for part in parts]),
    )
