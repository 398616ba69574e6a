"""Plan of the two scleral entries: places, symmetry, length outside, and cautions.

Entries are 180 degrees apart on the fixation meridian (see :mod:`pycore.fixation.limbus`), the
length outside follows from :mod:`pycore.fixation.haptic_path`. The table of outer diameters it
reproduces (13.5 to 16.6 mm for 1.0 to 3.0 mm entries) rests on the same sphere, so that is
consistency, not evidence. Checked by tests/limits/test_entries_geometry.py and
tests/unit/test_plan_entries.py.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from pycore.fixation.clock import clock_hours, spoken
from pycore.fixation.haptic_path import SPARE_MM, USUAL_OPTIC_MM, expected_outside_mm, loop_length_mm
from pycore.fixation.limbus import EntryPoint, Limbus, chord_mm, midpoint_offset_mm, opposite_entries
from pycore.fixation.sides import PART, pose_of_sides
from pycore.optics.pose import Pose
from pycore.words import joined, say

Pair = tuple[float, float]

#: Entries count as symmetric while the chord's midpoint lies this close to the axis, mm; our
#: judgement, half of the 0.2 to 0.3 mm of decentration that goes unnoticed (Ashena Z et al.,
#: Vision 2020;4:41).
SYMMETRY_LIMIT_MM: Final = 0.10
#: Around 3 and 9 o'clock run the long ciliary nerves and vessels (common practice, no source).
HORIZONTAL_ZONE_DEG: Final = 15.0
#: Around 12 o'clock filtering blebs and tubes usually sit (common practice, no source).
SUPERIOR_ZONE_DEG: Final = 30.0
#: Tunnels that differ by more than this pull the optic aside, mm; our judgement of "an exact
#: 2.0 mm on both sides" (Jun JH et al., J Cataract Refract Surg 2024).
TUNNEL_DIFFERENCE_MM: Final = 0.25


@dataclass(frozen=True, slots=True)
class Caution:
    """Something to look at before going on; ``field`` is the request's."""

    code: str
    field: str
    message: str


@dataclass(frozen=True, slots=True)
class Side:
    """One haptic's entry, its clock hour and the length expected outside (or ``None``)."""

    clock: str
    point: EntryPoint
    expected_outside_mm: float | None


@dataclass(frozen=True, slots=True)
class EntryPlan:
    """Both entries; ``midpoint_offset_mm`` is toward the entry farther from the axis.

    ``pose`` is what the entries alone would do to a rigid lens, the geometric part only.
    """

    a: Side
    b: Side
    outer_chord_mm: float
    midpoint_offset_mm: float
    radius_difference_mm: float
    symmetric: bool
    pose: Pose
    haptic_length_mm: float | None
    expected_outside_mm: float | None
    cautions: tuple[Caution, ...]


def plan_entries(
    *,
    limbus_horizontal_mm: float,
    limbus_vertical_mm: float,
    meridian_deg: float,
    entry_mm: Pair,
    tunnel_mm: Pair | None = None,
    lens_length_mm: float | None = None,
    haptic_length_mm: float | None = None,
    optic_diameter_mm: float = USUAL_OPTIC_MM,
    melt_mm: float = 1.0,
) -> EntryPlan:
    """Places of both entries and what is expected outside; first haptic first in every pair.

    ``haptic_length_mm`` is measured from optic edge to tip along a straightened haptic; without
    it ``lens_length_mm`` gives an estimate, without either the lengths are ``None``.
    Raises :class:`~pycore.errors.Inconsistent` for diameters or lengths that cannot be.
    """
    limbus = Limbus(limbus_horizontal_mm, limbus_vertical_mm)
    points = opposite_entries(limbus, meridian_deg=meridian_deg, entry_mm=entry_mm)
    haptic = _haptic_mm(haptic_length_mm, lens_length_mm, optic_diameter_mm)
    outside = _outside_mm(points, haptic, optic_diameter_mm)
    clocks = clock_hours(points[0].angle_deg)
    offset = midpoint_offset_mm(*points)
    pose = pose_of_sides(*points)
    cautions = (
        *meridian_cautions(meridian_deg),
        *_symmetry_cautions(points, clocks, offset, pose),
        *_tunnel_cautions(tunnel_mm, clocks),
        *_estimate_cautions(haptic, haptic_length_mm),
        *_short_cautions(outside, clocks, melt_mm),
    )
    return EntryPlan(
        a=Side(clocks[0], points[0], outside[0] if outside else None),
        b=Side(clocks[1], points[1], outside[1] if outside else None),
        outer_chord_mm=chord_mm(*points),
        midpoint_offset_mm=offset,
        radius_difference_mm=points[0].radius_mm - points[1].radius_mm,
        symmetric=offset <= SYMMETRY_LIMIT_MM,
        pose=pose,
        haptic_length_mm=haptic,
        expected_outside_mm=(outside[0] + outside[1]) / 2.0 if outside else None,
        cautions=cautions,
    )


def meridian_cautions(meridian_deg: float) -> Iterator[Caution]:
    """What is known to lie at both ends of a fixation meridian."""
    clocks = joined(" and ", (spoken(clock) for clock in clock_hours(meridian_deg % 180.0)))
    if _apart_deg(meridian_deg, 0.0) <= HORIZONTAL_ZONE_DEG:
        yield Caution(
            "three_nine_oclock", "meridian_deg",
            say(
                "Entries at {clocks} lie near the long ciliary nerves and vessels of the horizontal "
                "meridian. Expect bleeding and pain there, or turn the meridian.",
                clocks=clocks,
            ),
        )  # fmt: skip
    if _apart_deg(meridian_deg, 90.0) <= SUPERIOR_ZONE_DEG:
        yield Caution(
            "superior_surgery", "meridian_deg",
            say(
                "Entries at {clocks}: look above for a bleb, a tube or thin sclera before fixing there.",
                clocks=clocks,
            ),
        )  # fmt: skip


def _haptic_mm(measured: float | None, lens_length: float | None, optic: float) -> float | None:
    if measured is not None or lens_length is None:
        return measured
    return loop_length_mm(lens_length_mm=lens_length, optic_diameter_mm=optic)


def _outside_mm(points: tuple[EntryPoint, EntryPoint], haptic: float | None, optic: float) -> Pair | None:
    if haptic is None:
        return None
    first, second = (
        expected_outside_mm(haptic_length_mm=haptic, entry_radius_mm=point.radius_mm, optic_diameter_mm=optic)
        for point in points
    )
    return first, second


def _symmetry_cautions(
    points: tuple[EntryPoint, EntryPoint], clocks: tuple[str, str], offset: float, pose: Pose
) -> Iterator[Caution]:
    if offset > SYMMETRY_LIMIT_MM:
        far = clocks[0] if points[0].radius_mm > points[1].radius_mm else clocks[1]
        yield Caution(
            "entries_not_symmetric", "entry_mm",
            say(
                "The middle between the entries lies {offset} mm toward {far}: more than "
                "{symmetry_limit_mm} mm. Mark both entries at the same distance, or expect the optic "
                "there, tilted {tilt_deg} degrees with the edge at {far} back. {part}",
                offset=f"{offset:.2f}", far=spoken(far), symmetry_limit_mm=f"{SYMMETRY_LIMIT_MM:.2f}",
                tilt_deg=f"{pose.tilt_deg:.1f}", part=PART,
            ),
        )  # fmt: skip


def _tunnel_cautions(tunnel_mm: Pair | None, clocks: tuple[str, str]) -> Iterator[Caution]:
    if tunnel_mm is not None and abs(tunnel_mm[0] - tunnel_mm[1]) > TUNNEL_DIFFERENCE_MM:
        short, away = clocks if tunnel_mm[0] < tunnel_mm[1] else clocks[::-1]
        yield Caution(
            "tunnels_unequal", "tunnel_mm",
            say(
                "The tunnel at {short} is the shorter one: the optic moves toward {away} and tilts "
                "across the fixation meridian. Make both tunnels alike.",
                short=spoken(short), away=spoken(away),
            ),
        )  # fmt: skip


def _estimate_cautions(haptic: float | None, measured: float | None) -> Iterator[Caution]:
    if haptic is not None and measured is None:
        yield Caution(
            "haptic_length_estimated", "haptic_length_mm",
            say(
                "Haptic length {haptic} mm is estimated from the overall length. Measure one haptic "
                "straightened, from the optic's edge to its tip.",
                haptic=f"{haptic:.1f}",
            ),
        )  # fmt: skip


def _short_cautions(outside: Pair | None, clocks: tuple[str, str], melt_mm: float) -> Iterator[Caution]:
    needed = melt_mm + SPARE_MM
    for length, clock in zip(outside or (), clocks, strict=False):
        if length < needed:
            yield Caution(
                "haptic_short", "entry_mm",
                say(
                    "At {clock} {length}; the melt and a hold need {needed} mm outside. Enter nearer the "
                    "limbus or take a lens with longer haptics.",
                    clock=spoken(clock), length=_reach_text(length), needed=f"{needed:.1f}",
                ),
            )  # fmt: skip


def _reach_text(length_mm: float) -> str:
    if length_mm < 0.0:
        return say("the haptic is expected to end {value} mm inside the eye", value=f"{-length_mm:.1f}")
    return say("about {length_mm} mm is expected outside", length_mm=f"{length_mm:.1f}")


def _apart_deg(meridian_deg: float, other_deg: float) -> float:
    turned = abs(meridian_deg - other_deg) % 180.0
    return min(turned, 180.0 - turned)
