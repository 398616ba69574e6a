"""Which single wrong input would make the two routes agree, and how wrong it would have to be.

Each candidate is solved exactly with every other input as entered: at the cornea an aphakic eye
has ``Rc = 1336 / L - Dc``. A candidate's ``in_sds`` is its change over the SD of that input, so
the least is the likeliest. A candidate that would need an impossible value is left out.
Tests: tests/limits/test_aphakic.py.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from typing import Final

from pycore.errors import GuylineError
from pycore.formulas.eye import ThinEye
from pycore.optics.retinoscopy import FARTHEST_M, NEAREST_M, gross_sphere_d
from pycore.optics.vergence import change_vertex_d, to_corneal_plane_d
from pycore.planning.aphakic import AphakicReading, LengthAndCornea, aphakic_slopes
from pycore.units import AQUEOUS_INDEX_MM, STANDARD_VERTEX_MM

#: How far a vertex distance or a working distance is ordinarily off: our assumptions.
VERTEX_SD_MM: Final = 1.0
WORKING_DISTANCE_SD: Final = 0.05
#: Vertex distances beyond this are no spectacle plane, mm.
FARTHEST_VERTEX_MM: Final = 25.0
#: Axial lengths (mm) and mean keratometric powers (D) that an eye can have.
POSSIBLE_LENGTH_MM: Final = (14.0, 40.0)
POSSIBLE_CORNEA_D: Final = (28.0, 65.0)


@dataclass(frozen=True, slots=True)
class AsTaken:
    """How the aphakic refraction was taken: the SE as entered, its plane, and the distance."""

    entered_d: float
    vertex_mm: float
    working_distance_m: float | None = None

    @property
    def net_d(self) -> float:
        """The refraction in the plane of the lens."""
        return self.entered_d - (1.0 / self.working_distance_m if self.working_distance_m else 0.0)


@dataclass(frozen=True, slots=True)
class Candidate:
    """One input: as entered, what it would have to be, and the change in its own SDs."""

    name: str
    entered: float
    would_be: float
    in_sds: float

    @property
    def change(self) -> float:
        return self.would_be - self.entered


@dataclass(frozen=True, slots=True)
class Entered:
    """The biometry as entered: axial length (mm) and mean keratometric power (D)."""

    axial_length_mm: float
    k_mean_d: float


def candidates(
    eye: ThinEye,
    before: LengthAndCornea,
    reading: AphakicReading,
    *,
    entered: Entered,
    taken: AsTaken,
) -> list[Candidate]:
    """Every single error that would explain the disagreement, likeliest first."""
    found = [
        *_from_biometry(eye, before, reading, entered),
        *_from_refraction(eye, before, reading, taken),
    ]
    return sorted(found, key=lambda one: one.in_sds)


def _candidate(name: str, entered: float, would_be: float, sd: float) -> Candidate:
    return Candidate(name, entered, would_be, abs(would_be - entered) / sd)


def _from_biometry(
    eye: ThinEye, before: LengthAndCornea, reading: AphakicReading, entered: Entered
) -> Iterator[Candidate]:
    """Length and cornea; one that is certain is no candidate."""
    at_cornea = to_corneal_plane_d(reading.unbiased_d, STANDARD_VERTEX_MM)
    cornea = eye.corneal_power_d + before.cornea.mean
    length = eye.axial_length_mm + before.length.mean
    if before.length.sd > 0.0 and cornea + at_cornea > 0.0:
        would_be = entered.axial_length_mm + AQUEOUS_INDEX_MM / (cornea + at_cornea) - length
        if _within(would_be, POSSIBLE_LENGTH_MM):
            yield _candidate("axial_length_mm", entered.axial_length_mm, would_be, before.length.sd)
    if before.cornea.sd > 0.0:
        scale = entered.k_mean_d / eye.corneal_power_d
        would_be = entered.k_mean_d + (AQUEOUS_INDEX_MM / length - at_cornea - cornea) * scale
        if _within(would_be, POSSIBLE_CORNEA_D):
            yield _candidate("k_mean_d", entered.k_mean_d, would_be, before.cornea.sd * scale)


def _within(value: float, limits: tuple[float, float]) -> bool:
    return limits[0] <= value <= limits[1]


def _from_refraction(
    eye: ThinEye, before: LengthAndCornea, reading: AphakicReading, taken: AsTaken
) -> Iterator[Candidate]:
    expected = aphakic_slopes(eye, before.gaussian().mean).refraction_d + reading.bias.mean
    with suppress(GuylineError):
        yield _refraction(expected, reading, taken)
    with suppress(GuylineError):
        yield from _vertex(expected, taken)
    with suppress(GuylineError):
        yield from _working_distance(expected, taken)


def _refraction(expected: float, reading: AphakicReading, taken: AsTaken) -> Candidate:
    would_be = change_vertex_d(expected, from_mm=STANDARD_VERTEX_MM, to_mm=taken.vertex_mm)
    if taken.working_distance_m is not None:
        would_be = gross_sphere_d(would_be, working_distance_m=taken.working_distance_m)
    return _candidate("aphakic_refraction_d", taken.entered_d, would_be, math.sqrt(reading.variance))


def _vertex(expected: float, taken: AsTaken) -> Iterator[Candidate]:
    """``V = 1000 / R - 1000 / Rc``; a plane lens tells nothing."""
    at_cornea = to_corneal_plane_d(expected, STANDARD_VERTEX_MM)
    if taken.net_d == 0.0 or at_cornea == 0.0:
        return
    would_be = 1000.0 / taken.net_d - 1000.0 / at_cornea
    if 0.0 <= would_be <= FARTHEST_VERTEX_MM:
        yield _candidate("vertex_mm", taken.vertex_mm, would_be, VERTEX_SD_MM)


def _working_distance(expected: float, taken: AsTaken) -> Iterator[Candidate]:
    if taken.working_distance_m is None:
        return
    net = change_vertex_d(expected, from_mm=STANDARD_VERTEX_MM, to_mm=taken.vertex_mm)
    vergence = taken.entered_d - net
    if 1.0 / FARTHEST_M <= vergence <= 1.0 / NEAREST_M:
        yield _candidate(
            "working_distance_m", taken.working_distance_m, 1.0 / vergence, WORKING_DISTANCE_SD
        )
