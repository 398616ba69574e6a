"""The ``power`` operation: errors, warnings, and what each formula's entry holds."""

from __future__ import annotations

from typing import Any

import pytest

from pycore.api.boundary import answer
from pycore.errors import GuylineError, Inconsistent, MissingField, OutOfRange, UnknownField, WrongUnit

EYE: dict[str, Any] = {
    "axial_length_mm": 23.5, "k1_d": 43.0, "k2_d": 44.0, "target_d": -0.5,
    "constants": {"a": 118.7, "a0": 1.2}, "phakic_acd_mm": 3.1,
}


def _ask(**changes: Any) -> dict[str, Any]:
    merged = {**EYE, **changes}
    return answer("power", {key: value for key, value in merged.items() if value != "absent"})


def _warnings(**changes: Any) -> dict[str, str | None]:
    return {entry["code"]: entry["field"] for entry in _ask(**changes)["warnings"]}


def test_ordinary_eye_has_four_answers_and_no_warning() -> None:
    result = _ask()
    assert list(result["value"]["formulas"]) == ["srkt", "holladay1", "hoffer_q", "haigis"]
    for entry in result["value"]["formulas"].values():
        assert set(entry) == {"power_d", "lens_position_mm", "cautions"}
    assert result["warnings"] == []


def test_refraction_appears_with_a_lens_power_and_matches_the_target() -> None:
    powers = {name: entry["power_d"] for name, entry in _ask()["value"]["formulas"].items()}
    for name, power in powers.items():
        entry = _ask(lens_power_d=power)["value"]["formulas"][name]
        assert entry["refraction_d"] == pytest.approx(-0.5, abs=1e-9)


def test_radii_and_powers_give_the_same_answer() -> None:
    by_radius = _ask(k1_d="absent", k2_d="absent", r1_mm=337.5 / 43.0, r2_mm=337.5 / 44.0)
    for name, entry in _ask()["value"]["formulas"].items():
        assert by_radius["value"]["formulas"][name]["power_d"] == pytest.approx(entry["power_d"], abs=1e-9)


def test_null_is_absent() -> None:
    assert _ask(phakic_acd_mm=None, r1_mm=None, lens_power_d=None) == _ask(phakic_acd_mm="absent")


@pytest.mark.parametrize(("changes", "kind", "field"), [
    ({"axial_length_mm": "absent"}, MissingField, "axial_length_mm"),
    ({"target_d": None}, MissingField, "target_d"),
    ({"constants": "absent"}, MissingField, "constants"),
    ({"constants": {}}, MissingField, "constants.a"),
    ({"k2_d": "absent"}, MissingField, "k2_d"),
    ({"k1_d": "absent", "k2_d": "absent"}, MissingField, "k1_d"),
    ({"k1_d": "absent", "k2_d": "absent", "r2_mm": 7.7}, MissingField, "r1_mm"),
    ({"r1_mm": 7.8, "r2_mm": 7.6}, Inconsistent, "r1_mm"),
    ({"k2_d": "absent", "r2_mm": 7.6}, Inconsistent, "r2_mm"),
    ({"k1_d": 7.8}, WrongUnit, "k1_d"),
    ({"axial_length_mm": 235.0}, WrongUnit, "axial_length_mm"),
    ({"axial_length_mm": 13.9}, OutOfRange, "axial_length_mm"),
    ({"axial_length_mm": 40.1}, OutOfRange, "axial_length_mm"),
    ({"k2_d": 65.1}, OutOfRange, "k2_d"),
    ({"lens_power_d": 45.5}, OutOfRange, "lens_power_d"),
    ({"constants": {"a": 109.0}}, OutOfRange, "constants.a"),
    ({"constants": {"A": 118.7}}, UnknownField, "constants.A"),
    ({"axial_lenght_mm": 23.5}, UnknownField, "axial_lenght_mm"),
    ({"fellow": {"axial_length_mm": 23.5, "k1_d": 43.0}}, MissingField, "fellow.k2_d"),
    ({"fellow": {"axial_length_mm": 23.5, "k1_d": 43.0, "k2_d": 44.0, "r1_mm": 7.8}},
     Inconsistent, "fellow.r1_mm"),
])
def test_errors_name_their_field(changes: dict[str, Any], kind: type[GuylineError], field: str) -> None:
    with pytest.raises(kind) as caught:
        _ask(**changes)
    assert caught.value.field == field
    assert caught.value.message.endswith(".")


@pytest.mark.parametrize("limits", [
    {"axial_length_mm": 14.0}, {"axial_length_mm": 40.0}, {"k1_d": 28.0, "k2_d": 28.0},
    {"k1_d": 65.0, "k2_d": 65.0}, {"lens_power_d": -10.0}, {"lens_power_d": 45.0},
    {"constants": {"a": 110.0}}, {"constants": {"a": 125.0}},
])
def test_the_ends_of_the_range_are_computed_with_warnings(limits: dict[str, Any]) -> None:
    result = _ask(**limits)
    assert all("power_d" in entry for entry in result["value"]["formulas"].values())
    assert result["warnings"]


@pytest.mark.parametrize(("changes", "code", "field"), [
    ({"k1_d": 44.0, "k2_d": 43.0}, "k_swapped", "k1_d"),
    ({"k1_d": "absent", "k2_d": "absent", "r1_mm": 7.6, "r2_mm": 7.8}, "k_swapped", "r1_mm"),
    ({"k1_d": 41.0, "k2_d": 45.5}, "large_corneal_astigmatism", "k1_d"),
    ({"axial_length_mm": 31.0}, "unusual_value", "axial_length_mm"),
    ({"constants": {"a": 118.7, "a0": 1.2, "pacd_mm": 6.2}}, "constants_disagree", "constants.pacd_mm"),
    ({"constants": {"a": 118.7, "a0": 1.2, "surgeon_factor_mm": 0.9}}, "constants_disagree",
     "constants.surgeon_factor_mm"),
    ({"constants": {"a": 118.7}}, "haigis_a0_from_a", "formulas.haigis"),
    ({"constants": {"a": 118.7, "a1": 0.2}}, "haigis_slopes_without_a0", "formulas.haigis"),
    ({"phakic_acd_mm": None}, "haigis_without_phakic_depth", "formulas.haigis"),
    ({"k1_d": 51.0, "k2_d": 51.0}, "srkt_beyond_cusp", "formulas.srkt"),
    ({"axial_length_mm": 26.0}, "holladay1_length_limit", "formulas.holladay1"),
    ({"k1_d": 49.0, "k2_d": 49.0}, "holladay1_radius_limit", "formulas.holladay1"),
    ({"axial_length_mm": 32.0}, "hoffer_q_length_limit", "formulas.hoffer_q"),
    ({"constants": {"a": 112.0, "a0": 1.2}}, "unusual_lens_position", "formulas.srkt"),
    ({"fellow": {"axial_length_mm": 23.9, "k1_d": 43.0, "k2_d": 44.0}}, "eyes_differ_in_length", "fellow"),
    ({"fellow": {"axial_length_mm": 23.5, "k1_d": 44.2, "k2_d": 45.0}}, "eyes_differ_in_corneal_power",
     "fellow"),
])
def test_what_is_unusual_is_computed_and_warned_about(changes: dict[str, Any], code: str, field: str) -> None:
    assert code not in _warnings()
    warnings = _ask(**changes)["warnings"]
    assert (code, field) in {(entry["code"], entry["field"]) for entry in warnings}


@pytest.mark.parametrize("changes", [
    {"k1_d": 41.5, "k2_d": 45.5},
    {"constants": {"a": 118.7, "a0": 1.2, "pacd_mm": 5.8}},
    {"constants": {"a": 118.7, "a0": 1.2, "surgeon_factor_mm": 2.1}},
])
def test_just_inside_what_is_asked_about(changes: dict[str, Any]) -> None:
    """Exactly 4 D of astigmatism, constants just under 0.5 mm from the converted ones."""
    assert _warnings(**changes) == {}


def test_unusual_power_is_warned_about() -> None:
    fields = {(entry["code"], entry["field"]) for entry in _ask(axial_length_mm=19.0)["warnings"]}
    assert ("unusual_lens_power", "formulas.srkt") in fields


def test_swapped_powers_are_not_changed() -> None:
    swapped = _ask(k1_d=44.0, k2_d=43.0)["value"]["formulas"]
    assert swapped == _ask()["value"]["formulas"]


def test_one_missing_constant_spoils_only_its_formula() -> None:
    entries = _ask(constants={"pacd_mm": 5.4})["value"]["formulas"]
    assert "power_d" in entries["hoffer_q"]
    for name, field in (("srkt", "constants.a"), ("holladay1", "constants.surgeon_factor_mm"),
                        ("haigis", "constants.a0")):
        assert entries[name]["error"]["code"] == "missing_field"
        assert entries[name]["error"]["field"] == field


def test_no_formula_at_all_is_an_error() -> None:
    with pytest.raises(MissingField) as caught:
        _ask(constants={"a1": 0.4})
    assert caught.value.field == "constants.a"


def test_impossible_spectacle_refraction_leaves_the_power() -> None:
    """At 25 mm vertex the far point of this eye lies inside the vertex distance."""
    entry = _ask(axial_length_mm=36.0, lens_power_d=45.0, vertex_mm=25.0)["value"]["formulas"]["srkt"]
    assert entry["refraction_d"] is None
    assert entry["refraction_error"]["code"] == "no_image"
    assert isinstance(entry["power_d"], float)


def test_provenance_names_the_constants_used() -> None:
    used = _ask(constants={"a": 118.7, "pacd_mm": 5.5})["provenance"]["formulas"]
    assert used["hoffer_q"]["constants"] == {"pacd_mm": 5.5}
    assert used["holladay1"]["constants"]["surgeon_factor_mm"] == pytest.approx(0.5663 * 118.7 - 65.60)
    assert used["haigis"]["constants"] == pytest.approx({"a0": 1.714, "a1": 0.4, "a2": 0.1}, abs=5e-4)
    assert "1990;16:333-340" in used["srkt"]["citation"]
