"""How far a surgeon's plans are off on average after own eyes: ``python3 -m tests.simulation.cohort.plan_error``.

Only the plan of the next eye is judged, so that many surgeons can be played: 30 own eyes each,
operated as advised without any history, then fresh eyes planned with what was learned. The plan
error is the refraction at one month, flanged at the reference length, less the target. One value
a surgeon, so the standard error counts surgeons.
"""

from __future__ import annotations

import argparse
import sys
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass

import numpy as np

from pycore.belief.surgeon import learn
from tests.simulation.cohort.eyes import draw
from tests.simulation.cohort.learned import FRESH, lessons_of, planned_d
from tests.simulation.cohort.optics import Array
from tests.simulation.cohort.play import SEED
from tests.simulation.cohort.scenarios import SCENARIOS

OWN_EYES = (0, 5, 10, 30)


@dataclass(frozen=True, slots=True)
class Job:
    """One surgeon of a scenario."""

    scenario: str
    number: int
    seed: int


def plan_errors_d(job: Job) -> Array:
    """This surgeon's mean plan error after each of ``OWN_EYES``."""
    world = SCENARIOS[job.scenario].world
    own, count = max(OWN_EYES), max(OWN_EYES) + FRESH
    eyes = draw(world, count=count, seed=job.seed + 1 + job.number, eyes_per_surgeon=count)
    lessons, fresh = lessons_of(eyes.part(slice(0, own)), world), eyes.part(slice(own, count))
    beliefs = (learn(lessons[:known]).belief if known else None for known in OWN_EYES)
    return np.array([(planned_d(fresh, world, belief) - world.target_d).mean() for belief in beliefs])


def main(words: list[str]) -> int:
    """Mean, standard error and spread over surgeons after each number of own eyes."""
    parser = argparse.ArgumentParser(prog="plan_error", description=__doc__)
    parser.add_argument("--surgeons", type=int, default=200)
    parser.add_argument("--scenario", choices=SCENARIOS, default="deep_surgeon")
    parser.add_argument("--processes", type=int, default=1)
    chosen = parser.parse_args(words)
    todo = [Job(chosen.scenario, number, SEED) for number in range(chosen.surgeons)]
    with ProcessPoolExecutor(chosen.processes) as pool:
        found = np.array(list(pool.map(plan_errors_d, todo)))
    print(f"{chosen.scenario}, {chosen.surgeons} surgeons, {FRESH} fresh eyes each: mean plan error, D")
    for own, column in zip(OWN_EYES, found.T, strict=True):
        error = column.std(ddof=1) / np.sqrt(len(column))
        print(f"  {own:3d} own eyes {column.mean():+.3f} ± {error:.3f}, spread between surgeons {column.std():.3f}")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
