"""Conic surfaces: the equation, its slope, and rays that meet it."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pycore.errors import OpticsError
from pycore.optics.conic import Conic, conic_of_radius, normal, ray_coefficients, sag_mm, slope

shapes = st.builds(conic_of_radius, st.sampled_from([-12.0, -6.0, 6.4, 7.8, 20.0]), st.floats(-8.0, 0.3))
heights = st.floats(0.0, 3.0)


@given(shape=shapes, height=heights)
def test_the_sag_solves_the_equation(shape: Conic, height: float) -> None:
    sag, c = sag_mm(shape, height), shape.curvature_per_mm
    left = c * (height**2 + (1 + shape.asphericity) * sag**2) - 2 * sag
    assert left == pytest.approx(0.0, abs=1e-12)


@given(shape=shapes, height=st.floats(0.01, 2.9))
def test_the_slope_is_the_derivative_and_the_normal_is_across_it(shape: Conic, height: float) -> None:
    step = 1e-5
    rise = (sag_mm(shape, height + step) - sag_mm(shape, height - step)) / (2 * step)
    assert slope(shape, height) == pytest.approx(rise, abs=1e-8)
    across = normal(shape, (height, 0.0, sag_mm(shape, height)))
    assert across[0] + across[2] * slope(shape, height) == pytest.approx(0.0, abs=1e-12)


@given(shape=shapes, height=heights, tilt=st.floats(-0.3, 0.3), way=st.sampled_from([-1.0, 1.0]))
def test_a_ray_through_a_point_of_the_surface_meets_it_there(
    shape: Conic, height: float, tilt: float, way: float
) -> None:
    sag = sag_mm(shape, height)
    direction = (way * math.sin(tilt), 0.0, way * math.cos(tilt))
    start = tuple(a - 2.0 * b for a, b in zip((height, 0.0, sag), direction, strict=True))
    a, b, q = ray_coefficients(shape, start, direction)
    assert a * 4.0 + 2.0 * b * 2.0 + q == pytest.approx(0.0, abs=1e-12)


def test_a_plane_has_no_sag() -> None:
    assert sag_mm(Conic(0.0, -3.0), 3.0) == 0.0


def test_beyond_the_rim_of_a_sphere_there_is_no_surface() -> None:
    with pytest.raises(OpticsError, match="does not reach"):
        sag_mm(conic_of_radius(2.5), 3.0)
