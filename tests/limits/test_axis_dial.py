"""The dial of an axis: TABO, the same for both eyes, seen from in front."""

from __future__ import annotations

import itertools
import math

import pytest

from pycore.optics.axis_dial import axis_points


def test_the_four_directions_lie_where_tabo_has_them() -> None:
    """ISO 8429: degrees run counter-clockwise from the right; y points down on a screen."""
    points = dict(enumerate(axis_points(), 1))
    half = math.sqrt(0.5)
    assert points[90] == (0.0, -1.0)
    assert points[180] == (-1.0, 0.0)
    assert points[45] == pytest.approx((half, -half), abs=1e-5)
    assert points[135] == pytest.approx((-half, -half), abs=1e-5)


def test_every_whole_degree_has_its_own_point_on_the_circle() -> None:
    points = axis_points()
    assert len(set(points)) == 180
    assert all(math.hypot(*point) == pytest.approx(1.0, abs=1e-4) for point in points)
    gaps = [math.dist(first, second) for first, second in itertools.pairwise(points)]
    assert max(gaps) / min(gaps) == pytest.approx(1.0, abs=1e-2)


def test_one_degree_above_180_is_axis_1_at_its_other_end() -> None:
    x, y = axis_points()[0]
    assert (-x, -y) == pytest.approx((math.cos(math.radians(181)), -math.sin(math.radians(181))), abs=1e-5)
