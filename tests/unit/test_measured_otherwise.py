"""Values converted for a stored eye: offered, accepted with where they came from, and what they weigh."""

from __future__ import annotations

import copy
import json
from typing import Any

import pytest

from pycore.api import handle
from pycore.api.plan_answers import fingerprint
from pycore.records.shape import examine
from tests.records.sample import CODE, OTHER_CODE, codes, sample


def ask(operation: str, payload: dict[str, Any]) -> dict[str, Any]:
    answer: dict[str, Any] = json.loads(handle(json.dumps({"id": 1, "operation": operation, "payload": payload})))
    return answer


def offered(kind: str, case: dict[str, Any] | None = None, **given: Any) -> dict[str, Any]:
    answer = ask("measured_otherwise", {"case": case or sample(), "otherwise": kind, **given})
    assert "value" in answer, answer
    found: dict[str, Any] = answer["value"]
    return found


def accepted(case: dict[str, Any], patch: dict[str, Any]) -> dict[str, Any]:
    changed = copy.deepcopy(case)
    changed["measurements"] |= patch
    return changed


def plan(case: dict[str, Any]) -> dict[str, Any]:
    answer = ask("plan_case", {"case": case})
    assert "value" in answer, answer
    found: dict[str, Any] = answer["value"]
    return found


def share(case: dict[str, Any], name: str) -> float:
    return next(float(part["sd_d"]) for part in plan(case)["budget"] if part["name"] == name)


def test_a_length_at_the_wrong_velocity_is_shortened() -> None:
    """An eye without lens has 1532 m/s, so 23.40 mm at 1550 m/s is 23.40 x 1532 / 1550 = 23.13 mm
    (Hoffer KJ, J Cataract Refract Surg 1994;20:554-562)."""
    found = offered("velocity", axial_length_mm=23.40, axial_method="immersion", velocity_m_s=1550, lens_state="aphakic")
    assert found["patch"]["axial_length_mm"] == pytest.approx(23.13, abs=0.005)
    assert "1550" in found["patch"]["axial_origin"]["origin"]
    assert "23.40 mm" in found["patch"]["axial_origin"]["origin"]
    assert "Hoffer" in found["patch"]["axial_origin"]["origin_source"]


def test_another_index_goes_through_the_radius() -> None:
    """337.5 / 332 of the power shown with index 1.332: the radius is the same."""
    found = offered("index", k1_d=43.0, k2_d=44.0, keratometer_index=1.332)
    assert found["patch"]["k1_d"] == pytest.approx(43.0 * 337.5 / 332.0, abs=0.006)
    assert found["patch"]["k_unit"] == "d"


def test_a_total_power_is_less_than_the_keratometric_one() -> None:
    found = offered("total", k1_d=42.0, k2_d=43.0)
    assert 0.5 < found["patch"]["k1_d"] - 42.0 < 2.0


def test_depth_from_the_endothelium_gains_the_cornea() -> None:
    found = offered("depth", chamber_depth_mm=2.60, corneal_thickness_um=550)
    assert found["patch"]["phakic_acd_mm"] == 3.15


@pytest.mark.parametrize(
    ("kind", "missing"),
    [("velocity", "axial_length_mm"), ("index", "k1_d"), ("laser", "laser_for"), ("depth", "chamber_depth_mm")],
)
def test_what_is_needed_is_asked_for(kind: str, missing: str) -> None:
    answer = ask("measured_otherwise", {"case": sample(), "otherwise": kind})
    assert answer["error"]["field"] == missing


def test_after_laser_k_stays_and_the_plan_takes_it_as_weaker_and_wider() -> None:
    case = sample()
    case["history"]["cornea"] = "ordinary"
    after = accepted(case, offered("laser", case, laser_for="myopia")["patch"])
    assert after["measurements"]["k1_d"] == case["measurements"]["k1_d"]
    assert after["measurements"]["cornea_origin"]["off_mean"] < 0
    assert plan(after)["chosen"]["mean_d"] > plan(case)["chosen"]["mean_d"]
    assert share(after, "corneal_power_d") > 2 * share(case, "corneal_power_d")


def test_an_estimated_cornea_makes_the_interval_wide_until_it_is_measured() -> None:
    case = sample()
    case["history"]["cornea"] = "ordinary"
    case["measurements"] |= {"k1_d": None, "k2_d": None, "keratometry_method": None}
    estimated = accepted(case, offered("no_cornea", case)["patch"])
    assert share(estimated, "corneal_power_d") > 1.0
    measured = copy.deepcopy(estimated)
    measured["measurements"] |= {"k1_d": 43.0, "keratometry_method": "table"}
    assert share(measured, "corneal_power_d") < 0.3
    assert ("measurements.k1_d", "converted_value_replaced", "unusual") in codes(measured)
    assert not any(code == "converted_value_replaced" for _, code, _ in codes(estimated))


def test_a_missing_length_is_planned_with_without_asking_how_it_was_measured() -> None:
    case = sample()
    case["measurements"] |= {"axial_length_mm": None, "axial_method": None}
    assert not plan(case)["ready"]
    estimated = accepted(case, offered("no_length", case)["patch"])
    assert plan(estimated)["ready"]
    assert share(estimated, "axial_length_mm") > 1.5
    assert not any(path == "measurements.axial_method" for path, _, _ in codes(estimated))


def test_the_other_eye_stands_in_before_a_population() -> None:
    case, fellow = {**sample(), "person": OTHER_CODE}, {**sample(), "person": OTHER_CODE, "code": OTHER_CODE, "eye": "right"}
    fellow["measurements"] = {**fellow["measurements"], "axial_length_mm": 25.5}
    case["measurements"] = {**case["measurements"], "axial_length_mm": None}
    found = offered("no_length", case, fellow=fellow)
    assert found["patch"]["axial_length_mm"] == 25.5
    assert found["patch"]["axial_origin"]["off_sd"] == 0.25


def test_old_read_backs_stand_and_a_conversion_asks_for_a_new_one() -> None:
    """A record from before conversions existed keeps its fingerprint; accepting one changes it."""
    case = examine(sample()).sound
    old = copy.deepcopy(case)
    for key in ("axial_origin", "cornea_origin", "depth_origin"):
        del old["measurements"][key]
    assert fingerprint(old) == fingerprint(case)
    patch = offered("laser", laser_for="myopia")["patch"]
    assert fingerprint(accepted(case, patch)) != fingerprint(case)
    assert case["code"] == CODE
