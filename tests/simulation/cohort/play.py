"""One scenario: every policy on the same eyes, in slices that several processes can share."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace

import numpy as np

from pycore.planning.other_options import LEAST_RESIDUAL_D
from pycore.planning.titrate import Case
from tests.simulation.cohort.advised import Advised, advise, chosen_lens_d, first_case, plan_interval
from tests.simulation.cohort.by_hand import BY_HAND, Ends, read_ends
from tests.simulation.cohort.exchange import exchanged, residual_d
from tests.simulation.cohort.eyes import Eyes, draw
from tests.simulation.cohort.optics import Array
from tests.simulation.cohort.scenarios import SCENARIOS
from tests.simulation.cohort.theatre import final_d
from tests.simulation.cohort.world import REFERENCE_MM, World

SLICE = 250
SEED = 20_261


@dataclass(frozen=True, slots=True)
class Played:
    """Per eye and future the distance from target; per eye how often the 80 % interval held.

    ``promised`` is the chance within 0.50 D that the product gave; both are ``None`` for a
    policy that promises nothing. ``uneven_mm`` is how differently the two haptics end,
    ``exchanged`` says of each eye whether it got another lens.
    """

    off_d: Array
    covered: Array | None = None
    promised: Array | None = None
    readings: Array | None = None
    uneven_mm: float = 0.0
    exchanged: Array | None = None


@dataclass(frozen=True, slots=True)
class Job:
    """A slice of a scenario's eyes; every process draws all of them, and the same."""

    scenario: str
    count: int
    seed: int
    start: int
    own_lens: bool
    thresholds: bool


def jobs(scenario: str, *, count: int, seed: int, own_lens: bool, thresholds: bool) -> Iterator[Job]:
    """Slices that together are the scenario."""
    return (Job(scenario, count, seed, start, own_lens, thresholds) for start in range(0, count, SLICE))


def play(
    scenario: str,
    *,
    count: int,
    seed: int = SEED,
    own_lens: bool = False,
    thresholds: bool = False,
    pool: ProcessPoolExecutor | None = None,
) -> dict[str, Played]:
    """All policies on ``count`` eyes; ``thresholds``: another lens from smaller residuals too."""
    todo = list(jobs(scenario, count=count, seed=seed, own_lens=own_lens, thresholds=thresholds))
    parts = list(pool.map(play_slice, todo) if pool else map(play_slice, todo))
    return {name: _joined([part[name] for part in parts]) for name in parts[0]}


def play_slice(job: Job) -> dict[str, Played]:
    """All policies on one slice."""
    world = SCENARIOS[job.scenario].world
    eyes = draw(world, count=job.count, seed=job.seed).part(slice(job.start, job.start + SLICE))
    ends = read_ends(eyes, world)
    played = {name: _by_hand(eyes, world, policy(eyes, world, ends)) for name, policy in BY_HAND.items()}
    return {**played, **_with_product(eyes, world, ends, played["no_titration"], job)}


def _by_hand(eyes: Eyes, world: World, side_mm: Array) -> Played:
    return Played(final_d(eyes, world, side_mm) - world.target_d, uneven_mm=_uneven_mm(world, side_mm))


def _with_product(
    eyes: Eyes, world: World, ends: Ends, untitrated: Played, job: Job
) -> dict[str, Played]:
    cases = [first_case(eyes, world, ends, row) for row in range(len(eyes))]
    early, late = advise(cases, eyes, world)
    low, high = plan_interval(cases)
    planned = Played(untitrated.off_d, interval_held(untitrated.off_d + world.target_d, low, high))
    advice = followed(eyes, world, late)
    return {
        "no_titration": planned,
        "advice_two": followed(eyes, world, early),
        "advice": advice,
        **_with_exchange(advice, late, eyes, world, job),
        **({"advice_and_lens": _with_own_lens(cases, eyes, world)} if job.own_lens else {}),
    }


#: Residuals from which another lens is tried out beside the product's own, D.
SMALLER_RESIDUALS_D = (0.45, 0.75)


def _with_exchange(advice: Played, late: Advised, eyes: Eyes, world: World, job: Job) -> dict[str, Played]:
    """The advice, with the other lens where it is offered; for each threshold the same second lens."""
    smaller = SMALLER_RESIDUALS_D if job.thresholds else ()
    least = min((*smaller, LEAST_RESIDUAL_D))
    found = exchanged(late, eyes, world, seed=job.seed + job.start, least_residual_d=least)
    names = {f"exchange_{threshold:.2f}": threshold for threshold in smaller}
    residuals = np.array([residual_d(case, answer)
                          for case, answer in zip(late.cases, late.answers, strict=True)])
    return {name: _exchange_from(threshold, advice, residuals, found, world)
            for name, threshold in {**names, "with_exchange": LEAST_RESIDUAL_D}.items()}


def _exchange_from(threshold_d: float, advice: Played, residuals_d: Array,
                   found: tuple[Array, Eyes, Advised] | None, world: World) -> Played:
    """The second lens in the eyes whose residual is at least ``threshold_d``."""
    none = np.zeros(len(residuals_d), dtype=bool)
    if found is None:
        return replace(advice, exchanged=none)
    rows, second, again = found
    other = followed(second, world, again)
    taken = residuals_d[rows] >= threshold_d
    rows = rows[taken]
    off, covered, promised, readings = (
        _replaced(before, rows, after[taken]) for before, after in (
            (advice.off_d, other.off_d), (advice.covered, other.covered),
            (advice.promised, other.promised), (advice.readings, other.readings))
    )
    return replace(advice, off_d=off, covered=covered, promised=promised, readings=readings,
                   exchanged=_replaced(none, rows, True))


def _replaced(before: Array, rows: Array, after: Array | bool) -> Array:
    values = before.copy()
    values[rows] = after
    return values


def _with_own_lens(cases: list[Case], eyes: Eyes, world: World) -> Played:
    """The lens too as the product ranks it for titration, then the advice."""
    eyes = eyes.with_label(chosen_lens_d(cases))
    ends = read_ends(eyes, world)
    again = [first_case(eyes, world, ends, row) for row in range(len(eyes))]
    return followed(eyes, world, advise(again, eyes, world)[1])


def followed(eyes: Eyes, world: World, advised: Advised) -> Played:
    """What comes of the advice."""
    reached = final_d(eyes, world, advised.side_mm)
    return Played(
        off_d=reached - world.target_d,
        covered=interval_held(reached, advised.low80_d, advised.high80_d),
        promised=advised.within_050,
        readings=advised.readings,
        uneven_mm=_uneven_mm(world, advised.side_mm),
    )


def interval_held(value: Array, low: Array, high: Array) -> Array:
    """Share of each eye's futures in its interval."""
    return np.asarray(((low[:, None] <= value) & (value <= high[:, None])).mean(axis=1))


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
        exchanged=_all([part.exchanged for part in parts]),
    )


def _all(parts: list[Array | None]) -> Array | None:
    known = [part for part in parts if part is not None]
    return np.concatenate(known) if known else None
