"""What is done without the product, and the most that could be; same eyes, same readings.

Each policy returns the length outside to aim at (of the free haptics), as the callipers
give it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from tests.simulation.cohort.eyes import Eyes
from tests.simulation.cohort.optics import Array
from tests.simulation.cohort.theatre import read, settled_d
from tests.simulation.cohort.world import NOTHING_CUT_MM, REFERENCE_MM, World

#: A straight line through lengths closer than this says nothing.
_LEAST_APART_MM = 0.25


@dataclass(frozen=True, slots=True)
class Ends:
    """The two readings that everybody takes: drawn out first, then pushed in."""

    out_mm: Array
    in_mm: Array
    out_d: Array
    in_d: Array


def read_ends(eyes: Eyes, world: World) -> Ends:
    """Lengths as the callipers give them, refractions as the instrument does."""
    return Ends(
        out_mm=eyes.seen_drawn_out_mm,
        in_mm=eyes.seen_pushed_in_mm,
        out_d=read(eyes, world, eyes.drawn_out_mm, placement=0, reading=0),
        in_d=read(eyes, world, eyes.pushed_in_mm, placement=1, reading=1),
    )


def no_titration(eyes: Eyes, world: World, ends: Ends) -> Array:
    """Flanged at the reference length, for which the formula was meant."""
    return np.minimum(REFERENCE_MM, ends.out_mm)


def nothing_cut(eyes: Eyes, world: World, ends: Ends) -> Array:
    """Melted and buried where the haptics are, nothing cut."""
    return np.full(len(eyes), NOTHING_CUT_MM)


def better_end(eyes: Eyes, world: World, ends: Ends) -> Array:
    """Flanged at whichever end read nearer the target."""
    out_is_nearer = abs(ends.out_d - world.target_d) < abs(ends.in_d - world.target_d)
    return _clipped(np.where(out_is_nearer, ends.out_mm, ends.in_mm), ends)


def straight_line(eyes: Eyes, world: World, ends: Ends) -> Array:
    """On the line through both readings; the better end where the line makes no sense."""
    apart = ends.out_mm - ends.in_mm
    slope = (ends.out_d - ends.in_d) / np.where(abs(apart) < _LEAST_APART_MM, np.inf, apart)
    sensible = slope < 0
    wanted = ends.in_mm + (world.target_d - ends.in_d) / np.where(sensible, slope, -1.0)
    return np.where(sensible, _clipped(wanted, ends), better_end(eyes, world, ends))


def all_known(eyes: Eyes, world: World, ends: Ends) -> Array:
    """No surgeon can do this: the eye and its lens fully known, only the future is not.

    The most that any reading and any rule could bring with these haptics.
    """
    steps = np.linspace(0.0, 1.0, 41)[:, None]
    lengths = NOTHING_CUT_MM + steps * (eyes.drawn_out_mm - NOTHING_CUT_MM)
    off = np.array([abs(settled_d(eyes, world, length) - world.target_d) for length in lengths])
    return np.asarray(lengths[off.argmin(axis=0), np.arange(len(eyes))])


def _clipped(wanted_mm: Array, ends: Ends) -> Array:
    """Between nothing cut and drawn out."""
    return np.clip(wanted_mm, NOTHING_CUT_MM, np.maximum(ends.out_mm, NOTHING_CUT_MM))


Policy = Callable[[Eyes, World, Ends], Array]
BY_HAND: dict[str, Policy] = {
    "no_titration": no_titration,
    "nothing_cut": nothing_cut,
    "better_end": better_end,
    "straight_line": straight_line,
    "all_known": all_known,
}
