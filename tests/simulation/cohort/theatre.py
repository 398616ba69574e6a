"""What happens to a virtual eye: readings at a length, and the final refraction."""

from __future__ import annotations

import numpy as np

from tests.simulation.cohort.eyes import Eyes
from tests.simulation.cohort.optics import Array, refraction_d
from tests.simulation.cohort.world import REFERENCE_MM, World


def mean_outside_mm(eyes: Eyes, world: World, side_mm: Array) -> Array:
    """Mean of both haptics when the free ones lie at ``side_mm``."""
    return np.asarray((eyes.flanged_mm + side_mm) / 2 if world.first_flanged else side_mm)


def seen_mean_mm(world: World, side_mm: Array) -> Array:
    """The same as the surgeon knows it: a flange made for 2.0 mm counts as 2.0 mm."""
    return np.asarray((REFERENCE_MM + side_mm) / 2 if world.first_flanged else side_mm)


def read(
    eyes: Eyes, world: World, side_mm: Array, *, placement: Array | int, reading: int
) -> Array:
    """What the instrument says with the free haptics truly at ``side_mm``."""
    rows = np.arange(len(eyes))
    bent = _refraction(eyes, world, mean_outside_mm(eyes, world, side_mm), eyes.slip_mm[rows, placement])
    return np.asarray(bent + eyes.bias_d + eyes.drift_d[rows, placement] + eyes.noise_d[:, reading])


def final_d(eyes: Eyes, world: World, side_mm: Array) -> Array:
    """Refraction at one month when the surgeon aims at ``side_mm`` for each free haptic.

    One row an eye, one column a future. Carrying it out errs on each side; no haptic ends
    further out than it can be drawn.
    """
    reached = np.minimum(side_mm[:, None] + eyes.execution_mm, eyes.drawn_out_mm[:, None])
    sides = np.array([np.broadcast_to(eyes.flanged_mm[:, None], reached[1].shape), reached[1]])
    outside = (sides if world.first_flanged else reached).mean(axis=0)
    return np.asarray(_refraction(eyes, world, outside.T, eyes.final_slip_mm.T).T + eyes.settle_d)


def settled_d(eyes: Eyes, world: World, side_mm: Array) -> Array:
    """What the final refraction would be on average, with nothing going astray."""
    outside = mean_outside_mm(eyes, world, side_mm)
    return _refraction(eyes, world, outside, np.zeros(len(eyes))) + eyes.settle_d.mean(axis=1)


def _refraction(eyes: Eyes, world: World, outside_mm: Array, slip_mm: Array) -> Array:
    """Eyes along the last axis."""
    pulled = outside_mm - REFERENCE_MM
    if world.travel_gives_out_mm is not None:
        pulled = world.travel_gives_out_mm * np.tanh(pulled / world.travel_gives_out_mm)
    position = eyes.position_mm + slip_mm - eyes.travel * pulled
    return refraction_d(eyes.length_mm, position, eyes.cornea_d, eyes.lens_d)
