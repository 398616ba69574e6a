"""Tilt and decentration against three independent ray tracers (see README.md beside the rows)."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from functools import cache

import pytest

from pycore.optics import trace
from pycore.optics.chief_ray import chief_ray_refraction
from pycore.optics.induced import at_spectacle_plane
from pycore.optics.pose import Pose
from tests.reference.optics_rows import (
    AXIS_DEG,
    AXIS_FROM_D,
    COMA_UM,
    K_D,
    POWER_D,
    Row,
    axis_apart_deg,
    eye_of,
    pose_of,
    rows,
    value,
)

KINDS = ("spherical", "neutral", "correcting")
GROUPS = [(table, kind) for table in ("tilt", "decentration", "tilt_and_dec") for kind in KINDS]


def golden(table: str, kind: str) -> list[Row]:
    found = rows(table, kind=kind, convention="A", pivot="centre")
    assert len(found) >= 18
    return found


@cache
def seen(table: str, kind: str) -> list[tuple[Row, trace.Measured]]:
    return [
        (row, trace.refraction(eye_of(row), pose_of(row), pupil_mm=value(row, "pupil_mm")))
        for row in golden(table, kind)
    ]


def worst(
    cases: Iterable[tuple[Row, trace.Measured]], deviation: Callable[[Row, trace.Measured], float]
) -> float:
    return max(abs(deviation(row, found)) for row, found in cases)


def cylinder_d(found: trace.Measured) -> float:
    return -2.0 * math.hypot(found.correction.j0_d, found.correction.j45_d)


@pytest.mark.parametrize(("table", "kind"), GROUPS)
def test_real_ray_refraction(table: str, kind: str) -> None:
    cases = seen(table, kind)
    assert worst(cases, lambda row, found: found.correction.m_d - value(row, "SE_sp_D")) < POWER_D
    assert worst(cases, lambda row, found: cylinder_d(found) - value(row, "C_sp_D")) < POWER_D


@pytest.mark.parametrize(("table", "kind"), GROUPS)
def test_coma(table: str, kind: str) -> None:
    assert worst(seen(table, kind), lambda row, found: found.coma_um - value(row, "coma_um")) < COMA_UM


@pytest.mark.parametrize(("table", "kind"), GROUPS)
def test_what_the_pose_adds(table: str, kind: str) -> None:
    checked = 0
    for row in golden(table, kind):
        added, coma_um = trace.induced(eye_of(row), pose_of(row), pupil_mm=value(row, "pupil_mm"))
        assert added.shift_d == pytest.approx(value(row, "dSE_sp_D"), abs=POWER_D)
        assert added.cylinder_d == pytest.approx(value(row, "C_sp_D"), abs=POWER_D)
        assert coma_um == pytest.approx(value(row, "coma_um"), abs=COMA_UM)
        if row["dS_sp_D"]:
            assert added.sphere_d == pytest.approx(value(row, "dS_sp_D"), abs=POWER_D)
        if abs(value(row, "C_sp_D")) > AXIS_FROM_D:
            assert axis_apart_deg(added.axis_deg, row) < AXIS_DEG
            checked += 1
    assert checked > 0


@pytest.mark.parametrize(("table", "kind"), GROUPS)
def test_chief_ray_refraction(table: str, kind: str) -> None:
    found = [
        (row, at_spectacle_plane(chief_ray_refraction(eye_of(row), pose_of(row)), 12.0))
        for row in golden(table, kind)
        if row["C_coddington_sp_D"]
    ]
    assert found
    for row, vector in found:
        assert vector.m_d == pytest.approx(value(row, "SE_coddington_sp_D"), abs=1e-6)
        cylinder = -2.0 * math.hypot(vector.j0_d, vector.j45_d)
        assert cylinder == pytest.approx(value(row, "C_coddington_sp_D"), abs=1e-6)


@pytest.mark.parametrize("pupil_mm", ["3.0", "5.0"])
def test_tilt_about_the_front_vertex_is_tilt_about_the_centre_and_a_shift(pupil_mm: str) -> None:
    """Turning about another point is the same turn with the centre displaced."""
    found = rows("pivot", pivot="front", pupil_mm=pupil_mm)
    assert len(found) == 3
    for row in found:
        eye, angle = eye_of(row), math.radians(value(row, "tilt_x_deg"))
        half = eye.lens.thickness_mm / 2.0
        moved = eye_of(row, front_mm=eye.lens_front_mm - half * (1.0 - math.cos(angle)))
        pose = Pose(math.degrees(angle), 180.0, half * math.sin(angle), 270.0)
        seen_here = trace.refraction(moved, pose, pupil_mm=float(pupil_mm))
        assert seen_here.correction.m_d == pytest.approx(value(row, "SE_sp_D"), abs=POWER_D)
        assert cylinder_d(seen_here) == pytest.approx(value(row, "C_sp_D"), abs=POWER_D)


@pytest.mark.parametrize("table", ["tilt", "decentration"])
def test_the_operation_answers_the_spherical_lens_of_the_rows(table: str) -> None:
    from pycore.api.boundary import answer

    found = rows(table, kind="spherical", convention="A", n_iol="1.5", pupil_mm="3.0")
    assert len(found) >= 10
    for row in found:
        pose = pose_of(row)
        payload = {
            "axial_length_mm": value(row, "AL_mm"),
            "k1_d": K_D - 0.75,
            "k2_d": K_D + 0.75,
            "lens_power_d": value(row, "P_D"),
            "lens_index": 1.5,
            "pupil_mm": 3.0,
            "tilt_deg": pose.tilt_deg,
            "tilt_axis_deg": pose.tilt_axis_deg,
            "decentre_mm": pose.decentre_mm,
            "decentre_axis_deg": pose.decentre_axis_deg % 360.0,
        }
        answered = answer("tilt", payload)["value"]
        assert answered["cylinder_d"] == pytest.approx(value(row, "C_sp_D"), abs=POWER_D)
        assert answered["shift_d"] == pytest.approx(value(row, "dSE_sp_D"), abs=POWER_D)
        assert answered["coma_um"] == pytest.approx(value(row, "coma_um"), abs=COMA_UM)
