"""Sphero-cylinders against Thibos LN, Wheeler W, Horner D, Optom Vis Sci 1997;74:367-375.

The tabulated vectors are in checks_refraction.py; here are the conventions around them.
"""

from __future__ import annotations

import pytest

from pycore.errors import Inconsistent
from pycore.optics.refraction import (
    PowerVector,
    Spherocylinder,
    change_vertex,
    from_power_vector,
    mean_power_vector,
    minus_form,
    normal_axis_deg,
    plus_form,
    spherical_equivalent_at_d,
    to_power_vector,
    transpose,
)


@pytest.mark.parametrize(("given", "written"), [
    (0.0, 180.0), (180.0, 180.0), (360.0, 180.0), (1.0, 1.0), (179.5, 179.5), (181.0, 1.0),
    (-90.0, 90.0), (-180.0, 180.0), (-1e-20, 180.0), (540.5, 0.5),
])
def test_axis_is_written_above_0_and_up_to_180(given: float, written: float) -> None:
    assert normal_axis_deg(given) == written


def test_plus_form_becomes_minus_form() -> None:
    assert minus_form(Spherocylinder(0.25, 1.25, 105.0)) == Spherocylinder(1.5, -1.25, 15.0)
    assert plus_form(Spherocylinder(1.5, -1.25, 15.0)) == Spherocylinder(0.25, 1.25, 105.0)


def test_pure_sphere_has_axis_180_in_every_form() -> None:
    sphere = Spherocylinder(3.0, 0.0, 77.0)
    assert minus_form(sphere) == plus_form(sphere) == Spherocylinder(3.0, 0.0, 180.0)
    assert from_power_vector(to_power_vector(sphere)) == Spherocylinder(3.0, 0.0, 180.0)


def test_no_negative_zero_is_written() -> None:
    written = transpose(Spherocylinder(0.0, 0.0, 90.0))
    assert str(written.cylinder_d) == "0.0"
    assert str(to_power_vector(Spherocylinder(1.0, 0.0, 30.0)).j0_d) == "0.0"


def test_mean_of_crossed_axes_is_a_sphere() -> None:
    """Axes must never be averaged: x 10 and x 170 have mean axis 180, not 90."""
    crossed = [to_power_vector(Spherocylinder(0.0, -1.0, axis)) for axis in (45.0, 135.0)]
    assert from_power_vector(mean_power_vector(crossed)) == Spherocylinder(-0.5, 0.0, 180.0)
    near = [to_power_vector(Spherocylinder(0.0, -1.0, axis)) for axis in (10.0, 170.0)]
    assert from_power_vector(mean_power_vector(near)).axis_deg == pytest.approx(180.0)


def test_mean_is_taken_component_by_component() -> None:
    vectors = [PowerVector(1.0, 2.0, 3.0), PowerVector(3.0, 0.0, -1.0), PowerVector(2.0, 1.0, 4.0)]
    mean = mean_power_vector(vectors)
    assert mean == PowerVector(2.0, 1.0, 2.0)


@pytest.mark.parametrize(("vector", "written"), [
    (PowerVector(-2.0, 1.0, 0.0), Spherocylinder(-1.0, -2.0, 180.0)),
    (PowerVector(-2.5, 0.0, 0.5), Spherocylinder(-2.0, -1.0, 45.0)),
    (PowerVector(0.0, -1.5, 0.0), Spherocylinder(1.5, -3.0, 90.0)),
    (PowerVector(0.0, 0.0, -1.5), Spherocylinder(1.5, -3.0, 135.0)),
])
def test_vector_written_as_minus_cylinder(vector: PowerVector, written: Spherocylinder) -> None:
    """Quadrant by quadrant, by hand from the inverse equations."""
    assert from_power_vector(vector) == written


def test_mean_of_nothing_is_refused() -> None:
    with pytest.raises(Inconsistent):
        mean_power_vector([])


def test_each_meridian_moves_by_itself() -> None:
    """+15.00 and +10.00 D meridians: by hand 15 / (1 - 0.18) and 10 / (1 - 0.12)."""
    moved = change_vertex(Spherocylinder(15.0, -5.0, 180.0), from_mm=12.0, to_mm=0.0)
    assert moved.sphere_d == pytest.approx(15.0 / 0.82)
    assert moved.sphere_d + moved.cylinder_d == pytest.approx(10.0 / 0.88)
    of_mean = 12.5 / (1 - 0.012 * 12.5)
    by_meridian = spherical_equivalent_at_d(Spherocylinder(15.0, -5.0, 180.0), from_mm=12.0, to_mm=0.0)
    assert by_meridian - of_mean > 0.1


def test_blur_is_the_length_of_the_vector() -> None:
    assert PowerVector(2.0, 1.0, 2.0).blur_d == pytest.approx(3.0)
