"""The surgeon's view: identities of the rotation, and what an entry would meet."""

from __future__ import annotations

import itertools
import math

import pytest

from pycore.errors import MissingField
from pycore.fields import FIELDS
from pycore.fixation.clock import angle_of, clock_hour
from pycore.fixation.limbus import Limbus
from pycore.fixation.microscope import Mark, MicroscopeView, mark_cautions, microscope_view, seat_deg

LIMBUS = Limbus(11.8, 11.2)


def view(*, seat: float, meridian_deg: float = 0.0, marks: tuple[Mark, ...] = ()) -> MicroscopeView:
    return microscope_view(
        LIMBUS, meridian_deg=meridian_deg, entry_mm=(2.0, 2.0), tunnel_mm=(2.0, 1.0), marks=marks, seat_deg=seat
    )


def hour(seen: MicroscopeView, clock: str) -> tuple[float, float]:
    return dict(seen.hours)[clock]


def test_seated_above_the_head_twelve_is_at_the_bottom_and_three_on_the_left() -> None:
    """The view is the one from in front turned half round; y counts down."""
    seen = view(seat=seat_deg("superior", None))
    assert hour(seen, "12") == pytest.approx((0.0, 11.2 / 2 + 5.2))
    assert hour(seen, "3") == pytest.approx((-(11.8 / 2 + 5.2), 0.0), abs=1e-9)


@pytest.mark.parametrize(("eye", "temple", "nose"), [("right", "9", "3"), ("left", "3", "9")])
def test_seated_at_the_temple_the_temple_is_at_the_bottom(eye: str, temple: str, nose: str) -> None:
    """From in front the right eye's temple is at 9 o'clock, the left eye's at 3."""
    seen = view(seat=seat_deg("temporal", eye))
    assert hour(seen, temple)[1] == pytest.approx(11.8 / 2 + 5.2)
    assert hour(seen, nose)[1] == pytest.approx(-(11.8 / 2 + 5.2))


def test_seated_at_the_right_temple_the_brow_is_on_the_left() -> None:
    """A surgeon at the patient's right side has the patient's head to the left hand."""
    assert hour(view(seat=seat_deg("temporal", "right")), "12")[0] < -10
    assert hour(view(seat=seat_deg("temporal", "left")), "12")[0] > 10


def test_the_temple_is_never_guessed() -> None:
    with pytest.raises(MissingField) as raised:
        seat_deg("temporal", None)
    assert raised.value.field == "eye"


def test_turning_the_seat_moves_everything_and_changes_no_distance() -> None:
    marks = (Mark("bleb", "Bleb", "12"),)
    first, second = (view(seat=seat, meridian_deg=20.0, marks=marks) for seat in (90.0, 0.0))
    for one, other in zip(
        [*first.limbus, *first.entries, *first.marks], [*second.limbus, *second.entries, *second.marks], strict=True
    ):
        assert math.hypot(*one) == pytest.approx(math.hypot(*other))
        assert one != pytest.approx(other)


def test_a_tunnel_is_as_long_as_it_is_planned() -> None:
    seen = view(seat=90.0)
    for points, length in zip(seen.tunnels, (2.0, 1.0), strict=True):
        along = math.fsum(math.dist(a, b) for a, b in itertools.pairwise(points))
        assert along == pytest.approx(length, abs=0.002)
        assert points[len(points) // 2] in [pytest.approx(entry) for entry in seen.entries]


def test_a_clock_hour_and_its_direction_are_each_others_inverse() -> None:
    for clock in FIELDS["at_clock"].choices:
        assert clock_hour(angle_of(clock)) == clock
    assert len(FIELDS["at_clock"].choices) == 24


@pytest.mark.parametrize(
    ("clock", "met"), [("3", True), ("2:30", True), ("3:30", True), ("2", False), ("9", True), ("12", False)]
)
def test_an_entry_meets_what_lies_less_than_an_hour_away(clock: str, met: bool) -> None:
    found = list(mark_cautions(0.0, [Mark("bleb", "Bleb", clock)]))
    assert bool(found) is met
    if met:
        assert "bleb" in found[0].message
