"""One scenario: every policy on the same eyes, in slices that several processes can share."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass

import numpy as np

from tests.simulation.cohort.advised import Advised, advise, first_case, plan_interval
from tests.simulation.cohort.by_hand import BY_HAND, Ends, read_ends
from tests.simulation.cohort.eyes import Eyes, draw
from tests.simulation.cohort.optics import Array
from tests.simulation.cohort.scenarios import SCENARIOS
from tests.simulation.cohort.theatre import final_d
from tests.simulation.cohort.world import REFERENCE_MM, World

SLICE = 250
SEED = 20_261


@dataclass(frozen=True, slots=True)
class Played:
    """Per eye: distance from target, whether the promised 80 % interval held it.

    ``promised`` is the chance within 0.50 D that the product gave; both are ``None`` for a
    policy that promises nothing. ``uneven_mm`` is how differently the two haptics end.
    """

    off_d: Array
    covered: Array | None = None
    promised: Array | None = None
    readings: Array | None = None
    uneven_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Job:
    """A slice of a scenario's eyes; every process draws all of them, and the same."""

    scenario: str
    count: int
    seed: int
    start: int


def jobs(scenario: str, *, count: int, seed: int = SEED) -> Iterator[Job]:
    """Slices that together are the scenario."""
    return (Job(scenario, count, seed, start) for start in range(0, count, SLICE))


def play(scenario: str, *, count: int, seed: int = SEED, pool: ProcessPoolExecutor | None = None
         ) -> dict[str, Played]:
    """All policies on ``count`` eyes."""
    todo = list(jobs(scenario, count=count, seed=seed))
    parts = list(pool.map(play_slice, todo) if pool else map(play_slice, todo))
    return {name: _joined([part[name] for part in parts]) for name in parts[0]}


def play_slice(job: Job) -> dict[str, Played]:
    """All policies on one slice."""
    world = SCENARIOS[job.scenario].world
    eyes = draw(world, count=job.count, seed=job.seed).part(slice(job.start, job.start + SLICE))
    ends = read_ends(eyes, world)
    played = {name: _by_hand(eyes, world, policy(eyes, world, ends)) for name, policy in BY_HAND.items()}
    return {**played, **_with_product(eyes, world, ends, played["no_titration"])}


def _by_hand(eyes: Eyes, world: World, side_mm: Array) -> Played:
    return Played(final_d(eyes, world, side_mm) - world.target_d, uneven_mm=_uneven_mm(world, side_mm))


def _with_product(eyes: Eyes, world: World, ends: Ends, untitrated: Played) -> dict[str, Played]:
    cases = [first_case(eyes, world, ends, row) for row in range(len(eyes))]
    early, late = advise(cases, eyes, world)
    low, high = plan_interval(cases)
    planned = Played(untitrated.off_d, _within(untitrated.off_d + world.target_d, low, high))
    return {
        "no_titration": planned,
        "advice_two": _followed(eyes, world, early),
        "advice": _followed(eyes, world, late),
    }


def _followed(eyes: Eyes, world: World, advised: Advised) -> Played:
    reached = final_d(eyes, world, advised.side_mm)
    return Played(
        off_d=reached - world.target_d,
        covered=_within(reached, advised.low80_d, advised.high80_d),
        promised=advised.within_050,
        readings=advised.readings,
        uneven_mm=_uneven_mm(world, advised.side_mm),
    )


def _within(value: Array, low: Array, high: Array) -> Array:
    return ((low <= value) & (value <= high)).astype(float)


def _uneven_mm(world: World, side_mm: Array) -> float:
    return float(np.abs(side_mm - REFERENCE_MM).mean()) if world.first_flanged else 0.0


def _joined(parts: list[Played]) -> Played:
    sizes = [len(part.off_d) for part in parts]
    return Played(
        off_d=np.concatenate([part.off_d for part in parts]),
        covered=_all([part.covered for part in parts]),
        promised=_all([part.promised for part in parts]),
        readings=_all([part.readings for part in parts]),
        uneven_mm=float(np.average([part.uneven_mm for part in parts], weights=sizes)),
    )


def _all(parts: list[Array | None]) -> Array | None:
    known = [part for part in parts if part is not None]
    return np.concatenate(known) if known else None
