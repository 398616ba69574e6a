"""Pose from unequal sides: directions and published sizes of the geometric part."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pycore.fixation.limbus import EntryPoint, Limbus, opposite_entries
from pycore.fixation.sides import pose_of_sides
from pycore.optics.pose import rotation, shift_mm

LIMBUS = Limbus(11.8, 11.8)


def sides(meridian_deg: float, first: float, second: float) -> tuple[EntryPoint, EntryPoint]:
    return opposite_entries(LIMBUS, meridian_deg=meridian_deg, entry_mm=(first, second))


def test_equal_sides_give_no_pose() -> None:
    pose = pose_of_sides(*sides(20.0, 2.0, 2.0))
    assert (pose.tilt_deg, pose.decentre_mm) == pytest.approx((0.0, 0.0), abs=1e-12)


@pytest.mark.parametrize("meridian", [0.0, 17.0, 66.0, 90.0, 135.0])
@pytest.mark.parametrize("rounding", [-1e-12, 0.0, 1e-12])
def test_rounding_alone_never_chooses_a_direction(meridian: float, rounding: float) -> None:
    first, second = sides(meridian, 2.0, 2.0)
    off = replace(first, depth_mm=second.depth_mm + rounding, radius_mm=second.radius_mm + rounding)
    pose = pose_of_sides(off, second)
    assert (pose.tilt_deg, pose.decentre_mm) == (0.0, 0.0)
    assert pose.decentre_axis_deg == pytest.approx(meridian)
    assert pose.tilt_axis_deg == pytest.approx(meridian + 90.0)


def test_half_a_millimetre_of_entry_gives_about_a_degree_and_a_fifth_of_a_millimetre() -> None:
    """0.2 mm and 1.2 degrees, computed elsewhere on the same sphere: consistency."""
    pose = pose_of_sides(*sides(0.0, 2.5, 2.0))
    assert pose.decentre_mm == pytest.approx(0.2, abs=0.05)
    assert pose.tilt_deg == pytest.approx(1.2, abs=0.05)


@pytest.mark.parametrize("meridian", [0.0, 20.0, 90.0, 135.0])
@pytest.mark.parametrize("entries", [(2.5, 2.0), (2.0, 2.5)])
def test_the_deeper_side_of_the_lens_goes_back_and_the_optic_toward_it(
    meridian: float, entries: tuple[float, float]
) -> None:
    first, second = sides(meridian, *entries)
    pose = pose_of_sides(first, second)
    deep = first if entries[0] > entries[1] else second
    edge = (-deep.x_mm, deep.y_mm, 0.0)  # the trace frame's x points the other way
    assert sum(a * b for a, b in zip(rotation(pose)[2], edge, strict=True)) > 0.0
    assert sum(a * b for a, b in zip(shift_mm(pose), edge, strict=True)) > 0.0
    assert (pose.tilt_axis_deg - meridian) % 180.0 == pytest.approx(90.0)


def test_drawing_one_haptic_further_moves_the_optic_half_as_far_toward_it() -> None:
    first, second = sides(20.0, 2.0, 2.0)
    toward_first = pose_of_sides(first, second, outside_mm=(3.0, 2.0))
    assert (toward_first.decentre_mm, toward_first.decentre_axis_deg) == pytest.approx((0.5, 20.0))
    toward_second = pose_of_sides(first, second, outside_mm=(2.0, 3.0))
    assert (toward_second.decentre_mm, toward_second.decentre_axis_deg) == pytest.approx((0.5, 200.0))
