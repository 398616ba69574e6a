"""What must hold of the double-angle plot whatever the eyes are."""

from __future__ import annotations

import pytest

from pycore.audit.double_angle import double_angle, place


def test_opposite_cylinders_cancel_and_level_axes_meet() -> None:
    assert place(-1.0, 0) == pytest.approx(place(-1.0, 180), abs=1e-12)
    found = double_angle([place(-1.0, 0), place(-1.0, 90)], ["a", "b"])
    assert found is not None
    assert found.centroid == pytest.approx((0.0, 0.0), abs=1e-12)
    assert found.mean_magnitude_d == pytest.approx(1.0)
    assert found.of_centroid is None


@pytest.mark.parametrize("axis", [180, 45, 90, 135, 17])
def test_equal_cylinders_are_their_own_centroid(axis: int) -> None:
    found = double_angle([place(-1.5, axis)] * 5, list("abcde"))
    assert found is not None
    assert found.cylinder_d == pytest.approx(-1.5)
    assert found.axis_deg == pytest.approx(axis)
    assert found.of_eyes is None
    assert [(point.eyes) for point in found.points] == [5]


def test_eyes_on_one_line_have_no_ellipse() -> None:
    found = double_angle([place(-size, 30) for size in (0.25, 0.5, 1.0, 2.0)], list("abcd"))
    assert found is not None
    assert found.of_eyes is None
    assert found.of_centroid is None


def test_the_ellipse_of_the_centroid_is_inside_that_of_the_eyes() -> None:
    places = [place(-0.5 - 0.1 * index, 20 * index) for index in range(9)]
    found = double_angle(places, list("abcdefghi"))
    assert found is not None and found.of_centroid is not None and found.of_eyes is not None
    assert found.of_centroid.long_d < found.of_eyes.long_d
    assert found.of_centroid.outline[0] == pytest.approx(found.of_centroid.outline[-1])


def test_both_eyes_of_a_person_widen_the_centroid_only() -> None:
    places = [place(-0.5 - 0.1 * (index % 5), 20 * (index % 5)) for index in range(10)]
    apart = double_angle(places, list("abcdefghij"))
    paired = double_angle(places, list("abcdeabcde"))
    assert apart is not None and apart.of_centroid is not None and apart.of_eyes is not None
    assert paired is not None and paired.of_centroid is not None
    assert paired.of_centroid.long_d > 1.3 * apart.of_centroid.long_d
    assert paired.of_eyes == apart.of_eyes


def test_no_eye_has_no_plot() -> None:
    assert double_angle([], []) is None
