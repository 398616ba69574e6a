"""What must hold for tilt and decentration in any eye: zeros, symmetry, rotation, limits."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pycore.optics import trace
from pycore.optics.chief_ray import chief_ray_refraction
from pycore.optics.induced import Induced, induced_paraxial
from pycore.optics.pose import CENTRED, Pose, rotation, shift_mm
from pycore.optics.refraction import PowerVector, Spherocylinder, to_power_vector
from pycore.optics.thick_eye import ThickEye, centred_refraction_d, equiconvex_lens, round_cornea

EYE = ThickEye(round_cornea(k1_d=43.0, k2_d=44.0), equiconvex_lens(power_d=21.0, index=1.5), 23.6)
PUPIL_MM = 3.0

angles = st.floats(0.0, 360.0)
tilts = st.floats(1.0, 15.0)
shifts = st.floats(0.1, 1.0)


def added(pose: Pose, *, eye: ThickEye = EYE, pupil_mm: float = PUPIL_MM) -> tuple[Induced, float]:
    return trace.induced(eye, pose, pupil_mm=pupil_mm)


def vector(form: Induced) -> PowerVector:
    return to_power_vector(Spherocylinder(form.sphere_d, form.cylinder_d, form.axis_deg))


def same(one: Induced, other: Induced, tolerance_d: float = 1e-6) -> bool:
    a, b = vector(one), vector(other)
    return math.dist((a.m_d, a.j0_d, a.j45_d), (b.m_d, b.j0_d, b.j45_d)) < tolerance_d


def axes_apart_deg(one: float, other: float) -> float:
    apart = abs(one - other) % 180.0
    return min(apart, 180.0 - apart)


@given(axis=angles, toward=angles)
@settings(max_examples=10)
def test_nothing_moved_adds_nothing(axis: float, toward: float) -> None:
    form, coma_um = added(Pose(0.0, axis, 0.0, toward))
    assert (form.sphere_d, form.cylinder_d, form.shift_d) == pytest.approx((0.0, 0.0, 0.0), abs=1e-10)
    assert coma_um == pytest.approx(0.0, abs=1e-9)
    paraxial = induced_paraxial(EYE, Pose(0.0, axis, 0.0, toward))
    assert (paraxial.sphere_d, paraxial.cylinder_d) == pytest.approx((0.0, 0.0), abs=1e-10)


@given(tilt=tilts, axis=angles)
@settings(max_examples=15)
def test_minus_cylinder_axis_is_the_tilt_axis(tilt: float, axis: float) -> None:
    form, coma_um = added(Pose(tilt, axis))
    assert axes_apart_deg(form.axis_deg, axis) < 1e-3
    assert form.cylinder_d < 0.0
    assert form.shift_d < 0.0
    assert coma_um > 0.0


@given(tilt=tilts, axis=angles, decentre=shifts, toward=angles)
@settings(max_examples=15)
def test_opposite_senses_of_a_tilt_are_alike_only_without_decentration(
    tilt: float, axis: float, decentre: float, toward: float
) -> None:
    assert same(added(Pose(tilt, axis))[0], added(Pose(tilt, (axis + 180.0) % 360.0))[0])
    across = Pose(10.0, axis, 0.5, (axis + 90.0) % 360.0)
    turned = Pose(10.0, (axis + 180.0) % 360.0, 0.5, (axis + 90.0) % 360.0)
    assert abs(added(across)[0].cylinder_d - added(turned)[0].cylinder_d) > 0.1
    both = Pose(tilt, (axis + 180.0) % 360.0, decentre, (toward + 180.0) % 360.0)
    assert same(added(Pose(tilt, axis, decentre, toward))[0], added(both)[0])


@given(tilt=tilts, axis=angles, decentre=shifts, toward=angles, turn=st.floats(1.0, 179.0))
@settings(max_examples=15)
def test_turning_the_pose_turns_the_cylinder(
    tilt: float, axis: float, decentre: float, toward: float, turn: float
) -> None:
    one, coma_um = added(Pose(tilt, axis, decentre, toward))
    other, turned_coma_um = added(Pose(tilt, axis + turn, decentre, toward + turn))
    expected = Induced(one.sphere_d, one.cylinder_d, one.axis_deg + turn, one.shift_d)
    assert same(other, expected)
    assert turned_coma_um == pytest.approx(coma_um, abs=1e-5)


def test_turning_the_tilt_axis_by_90_degrees_turns_the_cylinder_by_90() -> None:
    flat, upright = added(Pose(10.0, 0.0))[0], added(Pose(10.0, 90.0))[0]
    assert (flat.axis_deg, upright.axis_deg) == pytest.approx((180.0, 90.0), abs=1e-4)
    assert upright.cylinder_d == pytest.approx(flat.cylinder_d, abs=1e-6)
    assert upright.sphere_d == pytest.approx(flat.sphere_d, abs=1e-6)


def test_oblique_axes_are_tabo_axes_not_mirrored() -> None:
    """A mirrored frame would answer 150 for 30."""
    assert added(Pose(10.0, 30.0))[0].axis_deg == pytest.approx(30.0, abs=1e-4)
    assert induced_paraxial(EYE, Pose(10.0, 30.0)).axis_deg == pytest.approx(30.0, abs=1e-9)


def test_small_tilts_grow_as_the_square() -> None:
    half, whole = added(Pose(1.0))[0].cylinder_d, added(Pose(2.0))[0].cylinder_d
    assert whole / half == pytest.approx(4.0, rel=0.005)


def test_tilt_and_decentration_do_not_add() -> None:
    """Published behaviour of the independent rows: 0.44 D alone, 0.72 or 0.22 D with 0.5 mm."""
    tilted, moved = added(Pose(10.0, 0.0))[0], added(Pose(0.0, 0.0, 0.5, 90.0))[0]
    together = [added(Pose(10.0, 0.0, 0.5, toward))[0].cylinder_d for toward in (90.0, 270.0)]
    for cylinder in together:
        assert abs(cylinder - (tilted.cylinder_d + moved.cylinder_d)) > 0.15
    assert min(together) < tilted.cylinder_d < max(together)


@given(tilt=tilts, axis=angles, decentre=shifts, toward=angles)
@settings(max_examples=15)
def test_a_small_pupil_sees_the_chief_ray_refraction(
    tilt: float, axis: float, decentre: float, toward: float
) -> None:
    pose = Pose(tilt, axis, decentre, toward)
    narrow = trace.corneal_refraction(EYE, pose, pupil_mm=0.1).correction
    chief = chief_ray_refraction(EYE, pose)
    assert narrow.m_d == pytest.approx(chief.m_d, abs=0.002)
    assert narrow.j0_d == pytest.approx(chief.j0_d, abs=0.002)
    assert narrow.j45_d == pytest.approx(chief.j45_d, abs=0.002)


@given(
    length=st.floats(20.0, 30.0), k_d=st.floats(38.0, 48.0), power=st.floats(-10.0, 40.0),
    index=st.floats(1.42, 1.56),
)  # fmt: skip
def test_the_centred_chief_ray_is_the_paraxial_matrix(
    length: float, k_d: float, power: float, index: float
) -> None:
    eye = ThickEye(round_cornea(k1_d=k_d, k2_d=k_d), equiconvex_lens(power_d=power, index=index), length)
    chief = chief_ray_refraction(eye, CENTRED)
    assert chief.m_d == pytest.approx(centred_refraction_d(eye), abs=1e-8)
    assert math.hypot(chief.j0_d, chief.j45_d) < 1e-9


def test_a_lens_toward_the_retina_is_more_hyperopic() -> None:
    eyes = [ThickEye(EYE.cornea, EYE.lens, EYE.axial_length_mm, front) for front in (4.0, 4.5, 5.0)]
    first, second, third = (centred_refraction_d(eye) for eye in eyes)
    assert first < second < third


@given(tilt=st.floats(0.0, 45.0), axis=angles)
def test_rotation_is_rigid_and_its_sense_is_as_described(tilt: float, axis: float) -> None:
    matrix = rotation(Pose(tilt, axis))
    for i, row in enumerate(matrix):
        for j, other in enumerate(matrix):
            dot = math.fsum(a * b for a, b in zip(row, other, strict=True))
            assert dot == pytest.approx(1.0 if i == j else 0.0, abs=1e-12)
    edge = shift_mm(Pose(0.0, 0.0, 1.0, axis + 90.0))
    back = math.fsum(a * b for a, b in zip(matrix[2], edge, strict=True))
    assert back == pytest.approx(-math.sin(math.radians(tilt)), abs=1e-12)


def test_directions_of_the_trace_frame() -> None:
    """z into the eye, y up: x points to the observer's left, TABO 180."""
    assert shift_mm(Pose(0.0, 0.0, 1.0, 0.0)) == pytest.approx((-1.0, 0.0, 0.0))
    assert shift_mm(Pose(0.0, 0.0, 1.0, 90.0)) == pytest.approx((0.0, 1.0, 0.0))


def test_fewer_rays_change_nothing_that_is_shown() -> None:
    pose = Pose(12.0, 25.0, 0.8, 100.0)
    coarse = trace.wavefront_um(EYE, pose, pupil_mm=5.0, rings=9)
    fine = trace.wavefront_um(EYE, pose, pupil_mm=5.0, rings=16)
    assert max(abs(coarse[3:15] - fine[3:15])) < 1e-5
