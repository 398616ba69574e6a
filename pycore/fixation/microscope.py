"""The eye as the surgeon sees it, for drawing: entries, tunnels and what lies around the limbus.

Frame of the drawing: millimetres from the limbal centre, ``x`` to the right and ``y`` **down**,
as screens count. The eye is turned so that the seat is at the bottom: a TABO direction ``t``
is drawn at ``t - seat - 90`` degrees. Seated above the head, 12 o'clock is at the bottom;
seated at the temple, the nose is at the top. Tunnels are drawn for their length, along the
circle of their entry and centred on it, not for their direction. Source: rotation of the
plane. Checked by ``tests/limits/test_microscope.py``.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from pycore.errors import MissingField
from pycore.fixation.clock import angle_of, clock_hours, spoken
from pycore.fixation.entries import Caution
from pycore.fixation.limbus import EntryPoint, Limbus, limbal_radius_mm, opposite_entries
from pycore.words import say

Point = tuple[float, float]

#: Points around the limbus: straight pieces of 5 degrees deviate by 0.006 mm.
_OUTLINE: Final = 72
_TUNNEL_POINTS: Final = 9
#: The hours stand this far outside the limbus; marks nearer.
_HOURS_BEYOND_MM: Final = 5.2
_MARKS_BEYOND_MM: Final = 2.0
#: An entry within this of a mark meets it: one hour of the clock (our judgement; at the
#: entry's radius 30 degrees are about 4 mm).
CLEAR_DEG: Final = 30.0
#: TABO direction of the temple, by eye; of the brow in both.
_TEMPLE_DEG: Final = {"right": 180.0, "left": 0.0}
_BROW_DEG: Final = 90.0


@dataclass(frozen=True, slots=True)
class Mark:
    """Something at a clock hour; ``kind`` is its stable word, ``label`` what is shown."""

    kind: str
    label: str
    clock: str


@dataclass(frozen=True, slots=True)
class MicroscopeView:
    """Everything to draw, in the drawing's frame (mm, y down)."""

    limbus: tuple[Point, ...]
    hours: tuple[tuple[str, Point], ...]
    entries: tuple[Point, Point]
    tunnels: tuple[tuple[Point, ...], tuple[Point, ...]]
    marks: tuple[Point, ...]


def seat_deg(seat: str, eye: str | None) -> float:
    """TABO direction of the surgeon's seat.

    Raises :class:`MissingField` for a temporal seat without an eye: the temple is never guessed.
    """
    if seat == "superior":
        return _BROW_DEG
    if eye is None:
        raise MissingField("Choose the eye: the temporal side depends on it.", field="eye")
    return _TEMPLE_DEG[eye]


def microscope_view(
    limbus: Limbus,
    *,
    meridian_deg: float,
    entry_mm: tuple[float, float],
    tunnel_mm: tuple[float, float],
    marks: Sequence[Mark],
    seat_deg: float,
) -> MicroscopeView:
    """The drawing of one plan."""
    points = opposite_entries(limbus, meridian_deg=meridian_deg, entry_mm=entry_mm)
    steps = [360.0 * step / _OUTLINE for step in range(_OUTLINE)]

    def placed(angle_deg: float, radius_mm: float) -> Point:
        turned = math.radians(angle_deg - seat_deg - 90.0)
        return radius_mm * math.cos(turned), -radius_mm * math.sin(turned)

    def beyond(clock: str, more_mm: float) -> Point:
        angle = angle_of(clock)
        return placed(angle, limbal_radius_mm(limbus, angle) + more_mm)

    def tunnel(entry: EntryPoint, length_mm: float) -> tuple[Point, ...]:
        half = math.degrees(length_mm / 2 / entry.radius_mm)
        spread = (2 * step / (_TUNNEL_POINTS - 1) - 1 for step in range(_TUNNEL_POINTS))
        return tuple(placed(entry.angle_deg + half * part, entry.radius_mm) for part in spread)

    return MicroscopeView(
        limbus=tuple(placed(angle, limbal_radius_mm(limbus, angle)) for angle in steps),
        hours=tuple((str(hour), beyond(str(hour), _HOURS_BEYOND_MM)) for hour in range(1, 13)),
        entries=(placed(points[0].angle_deg, points[0].radius_mm),
                 placed(points[1].angle_deg, points[1].radius_mm)),
        tunnels=(tunnel(points[0], tunnel_mm[0]), tunnel(points[1], tunnel_mm[1])),
        marks=tuple(beyond(mark.clock, _MARKS_BEYOND_MM) for mark in marks),
    )


def mark_cautions(meridian_deg: float, marks: Sequence[Mark]) -> Iterator[Caution]:
    """Marks that an entry would meet, in the order given."""
    clocks = clock_hours(meridian_deg % 180.0)
    for mark in marks:
        met = [clock for clock in clocks if _apart_deg(angle_of(clock), angle_of(mark.clock)) < CLEAR_DEG]
        if met:
            yield Caution(
                "entry_meets_mark", "meridian_deg",
                say(
                    "The entry at {met} lies within an hour of the {lower} at {clock}. Turn the "
                    "meridian, or make sure there is room.",
                    met=spoken(met[0]), lower=mark.label.lower(), clock=spoken(mark.clock),
                ),
            )  # fmt: skip


def _apart_deg(one: float, other: float) -> float:
    turned = abs(one - other) % 360.0
    return min(turned, 360.0 - turned)
