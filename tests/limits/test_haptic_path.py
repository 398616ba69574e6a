"""Length outside: its way out, and the length estimated from the loose lens."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pycore.errors import Inconsistent
from pycore.fixation.haptic_path import LOOP_SWEEP_DEG, expected_outside_mm, loop_length_mm

lengths = st.floats(11.0, 14.0)
optics = st.floats(5.0, 7.0)


def _polyline_mm(length: float, optic: float, pieces: int = 20_000) -> float:
    """The same spiral walked in straight steps."""
    sweep = math.radians(LOOP_SWEEP_DEG)
    points = []
    for number in range(pieces + 1):
        share = number / pieces
        radius = optic / 2 + share * (length - optic) / 2
        points.append((radius * math.cos(share * sweep), radius * math.sin(share * sweep)))
    return math.fsum(math.dist(*pair) for pair in itertools.pairwise(points))


@pytest.mark.parametrize(("length", "optic"), [(12.5, 6.0), (13.0, 6.0), (13.5, 7.0)])
def test_the_loop_is_as_long_as_its_steps(length: float, optic: float) -> None:
    found = loop_length_mm(lens_length_mm=length, optic_diameter_mm=optic)
    assert found == pytest.approx(_polyline_mm(length, optic), abs=1e-6)
    assert 6.0 < found < 8.0  # three-piece lenses in use, value from memory


@given(length=lengths, optic=optics)
def test_the_loop_is_longer_than_the_straight_way_and_grows(length: float, optic: float) -> None:
    found = loop_length_mm(lens_length_mm=length, optic_diameter_mm=optic)
    assert found > (length - optic) / 2
    assert loop_length_mm(lens_length_mm=length + 0.5, optic_diameter_mm=optic) > found


def test_a_lens_shorter_than_its_optic_is_refused() -> None:
    with pytest.raises(Inconsistent) as raised:
        loop_length_mm(lens_length_mm=6.0, optic_diameter_mm=6.0)
    assert raised.value.field == "lens_length_mm"


@given(haptic=st.floats(5.0, 8.0), radius=st.floats(6.0, 9.0), optic=optics)
def test_inside_and_outside_make_the_whole_haptic(haptic: float, radius: float, optic: float) -> None:
    outside = expected_outside_mm(haptic_length_mm=haptic, entry_radius_mm=radius, optic_diameter_mm=optic)
    assert outside + (radius - optic / 2) == pytest.approx(haptic)
    farther = expected_outside_mm(
        haptic_length_mm=haptic, entry_radius_mm=radius + 0.4, optic_diameter_mm=optic
    )
    assert outside - farther == pytest.approx(0.4)
