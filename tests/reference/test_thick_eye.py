"""The centred thick eye against the independent rows: lens, refraction, derivatives."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from pycore.optics import trace
from pycore.optics.conic import Conic
from pycore.optics.paraxial import Face, cardinal_points
from pycore.optics.pose import CENTRED
from pycore.optics.thick_eye import (
    ThickEye,
    centred_refraction_d,
    equiconvex_lens,
    equivalent_power_d,
    round_cornea,
)
from pycore.optics.vergence import to_spectacle_plane_d
from pycore.units import AQUEOUS_INDEX
from tests.published.checks_schematic_eyes import GULLSTRAND_ROWS, LE_GRAND_ROWS, NAVARRO_ROWS, faces
from tests.reference.optics_rows import K_D, PER_MM_D, POWER_D, Row, eye_of, rows, value

STEP = 0.01


def spectacle_d(eye: ThickEye) -> float:
    return to_spectacle_plane_d(centred_refraction_d(eye), 12.0)


def slope(at: Callable[[float], float], here: float) -> float:
    return (at(here + STEP) - at(here - STEP)) / (2.0 * STEP)


@pytest.mark.parametrize("row", rows("lens"), ids=lambda row: f"{row['P_D']} D, {row['n_iol']}")
def test_lens_shape_power_and_principal_planes(row: Row) -> None:
    lens = equiconvex_lens(power_d=value(row, "P_D"), index=value(row, "n_iol"))
    assert 1.0 / lens.front.curvature_per_mm == pytest.approx(value(row, "R_mm"), abs=1e-6)
    assert lens.thickness_mm == pytest.approx(value(row, "t_mm"), abs=1e-8)
    assert equivalent_power_d(lens) == pytest.approx(value(row, "P_D"), abs=1e-9)
    surfaces = [
        Face(lens.front.curvature_per_mm, lens.index, lens.thickness_mm),
        Face(lens.back.curvature_per_mm, AQUEOUS_INDEX),
    ]
    found = cardinal_points(surfaces, index_before=AQUEOUS_INDEX)
    assert found.first_principal_mm == pytest.approx(value(row, "H_mm"), abs=1e-8)
    assert found.second_principal_mm == pytest.approx(value(row, "Hp_mm"), abs=1e-8)
    eye = ThickEye(round_cornea(k1_d=K_D, k2_d=K_D), lens, value(row, "AL_mm"))
    assert centred_refraction_d(eye) == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize("power", ["10", "20", "30"])
def test_centred_refraction_over_lengths_and_positions(power: str) -> None:
    found = rows("refraction_grid", P_D=power)
    assert len(found) == 20
    for row in found:
        assert centred_refraction_d(eye_of(row)) == pytest.approx(value(row, "R_parax_cornea_D"), abs=1e-6)
        assert spectacle_d(eye_of(row)) == pytest.approx(value(row, "R_parax_sp_D"), abs=POWER_D)


@pytest.mark.parametrize(
    "row", rows("dRdz"), ids=lambda row: f"{row['P_D']}, {row['n_iol']}, {row['z_front_mm']}"
)
def test_refraction_per_mm_of_lens_position(row: Row) -> None:
    front = value(row, "z_front_mm")
    paraxial = slope(lambda z: spectacle_d(eye_of(row, front_mm=z)), front)
    assert paraxial == pytest.approx(value(row, "dRdz_parax_sp"), abs=PER_MM_D)
    real = slope(
        lambda z: trace.refraction(eye_of(row, front_mm=z), CENTRED, pupil_mm=3.0).correction.m_d, front
    )
    assert real == pytest.approx(value(row, "dRdz_zern3mm_sp"), abs=PER_MM_D)
    assert spectacle_d(eye_of(row)) == pytest.approx(value(row, "R_parax_sp_D"), abs=POWER_D)


@pytest.mark.parametrize(
    "row", rows("dRdz_by_cornea"), ids=lambda row: f"{row['P_D']}, {row['cornea_Ra_mm']}"
)
def test_refraction_per_mm_with_other_corneas(row: Row) -> None:
    k_d = 337.5 / value(row, "cornea_Ra_mm")
    cornea = round_cornea(k1_d=k_d, k2_d=k_d)
    assert 1.0 / cornea.posterior.curvature_per_mm == pytest.approx(value(row, "cornea_Rp_mm"), abs=1e-6)
    lens, length = equiconvex_lens(power_d=value(row, "P_D"), index=1.5), value(row, "AL_mm")
    found = slope(lambda z: spectacle_d(ThickEye(cornea, lens, length, z)), value(row, "z_front_mm"))
    assert found == pytest.approx(value(row, "dRdz_parax_sp"), abs=PER_MM_D)


@pytest.mark.parametrize("row", rows("partials"), ids=lambda row: row["P_D"])
def test_refraction_per_dioptre_and_per_mm_of_length(row: Row) -> None:
    power, length = value(row, "P_D"), value(row, "AL_mm")
    cornea = round_cornea(k1_d=K_D, k2_d=K_D)

    def at(power_d: float, length_mm: float) -> float:
        return spectacle_d(ThickEye(cornea, equiconvex_lens(power_d=power_d, index=1.5), length_mm))

    assert slope(lambda p: at(p, length), power) == pytest.approx(value(row, "dRdP_sp"), abs=PER_MM_D)
    per_length = slope(lambda a: at(power, a), length)
    assert per_length == pytest.approx(value(row, "dRdAL_sp_D_per_mm"), abs=PER_MM_D)


@pytest.mark.parametrize(
    ("case", "surfaces"),
    [
        ("Gullstrand No.1", GULLSTRAND_ROWS),
        ("Le Grand full theoretical", LE_GRAND_ROWS),
        ("Navarro 1985 (589 nm)", NAVARRO_ROWS),
    ],
)
def test_schematic_eyes_in_two_ray_tracing_libraries(
    case: str, surfaces: tuple[tuple[float, float, float], ...]
) -> None:
    found = rows("schematic_lib", case=case, quantity="P")
    assert {row["method"] for row in found} == {"optiland", "rayoptics"}
    for row in found:
        assert cardinal_points(faces(surfaces)).power_d == pytest.approx(value(row, "value"), abs=1e-8)


@pytest.mark.parametrize(("kind", "index"), [("neutral", "1.46"), ("correcting", "1.5"), ("neutral", "1.55")])
def test_spherical_aberration_of_aspheric_lenses(kind: str, index: str) -> None:
    """The rows' asphericities were made to leave 0.1241 um (the cornea's own) or none at 5 mm."""
    row = rows("tilt", kind=kind, n_iol=index, tilt_x_deg="0", pupil_mm="5.0", convention="A")[0]
    eye = eye_of(row)
    assert isinstance(eye.lens.front, Conic) and eye.lens.front.asphericity == value(row, "Q")
    c40 = float(trace.wavefront_um(eye, CENTRED, pupil_mm=5.0)[12])
    assert c40 == pytest.approx(0.1241 if kind == "neutral" else 0.0, abs=1e-4)
