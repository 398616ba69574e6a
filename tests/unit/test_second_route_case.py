"""The aphakic reading of a stored eye: how it is written down, what it moves, and that it stops nothing."""

from __future__ import annotations

import json
from typing import Any

import pytest

from pycore.api import handle
from tests.records.sample import sample


def value(operation: str, payload: dict[str, Any]) -> dict[str, Any]:
    answer = json.loads(handle(json.dumps({"id": 1, "operation": operation, "payload": payload})))
    assert "value" in answer, answer
    found: dict[str, Any] = answer["value"]
    return found


def with_reading(**entered: Any) -> dict[str, Any]:
    case = sample()
    case["aphakic"] |= {"instrument": "aberrometer", "form": "equivalent", "refraction_d": 12.0, "vertex_mm": 12} | entered
    return case


def test_without_a_reading_nothing_is_said_and_nothing_moves() -> None:
    assert value("plan_case", {"case": sample()})["second_route"] is None


def test_both_routes_stand_apart_and_the_plan_moves_between_them() -> None:
    found = value("plan_case", {"case": with_reading()})
    route, before = found["second_route"], value("plan_case", {"case": sample()})
    powers = sorted((route["biometry"]["power_d"], route["aphakic"]["power_d"]))
    assert powers[0] < route["combined"]["power_d"] < powers[1]
    assert route["headline"].startswith("The two routes agree")
    more_power_needed = route["combined"]["power_d"] > route["biometry"]["power_d"]
    assert (found["chosen"]["mean_d"] > before["chosen"]["mean_d"]) == more_power_needed
    assert found["chosen"]["sd_d"] < before["chosen"]["sd_d"]


def test_retinoscopy_in_two_meridians_is_the_mean_of_both_less_the_distance() -> None:
    """+14.50 and +13.50 D at 0.5 m: net +12.50 and +11.50 D (1 / 0.5 m = 2 D), the same at 12 mm."""
    case = with_reading(instrument="retinoscope", form="meridians", refraction_d=None, meridian_1_d=13.5,
                        meridian_2_d=14.5, working_distance_m=0.5)
    found = value("plan_case", {"case": case})["second_route"]
    assert found["aphakic_refraction_d"] == pytest.approx(12.0, abs=1e-9)
    case["aphakic"] |= {"meridian_1_d": 14.5, "meridian_2_d": 13.5}
    assert value("plan_case", {"case": case})["second_route"] == found


def test_beyond_two_and_a_half_sds_it_asks_and_says_what_would_explain_it() -> None:
    plan = value("plan_case", {"case": with_reading(refraction_d=16.0)})
    route = plan["second_route"]
    assert abs(route["disagreement"]["sds"]) > 2.5
    assert "contradict" in route["headline"]
    assert {one["input"] for one in route["would_explain"]} >= {"axial_length_mm", "k_mean_d", "aphakic_refraction_d"}
    assert all("would explain it" in one["message"] for one in route["would_explain"])
    assert "routes_disagree" in {one["code"] for one in plan["cautions"]}


@pytest.mark.parametrize(
    ("entered", "field"),
    [({"refraction_d": None}, "aphakic.refraction_d"), ({"vertex_mm": None}, "aphakic.vertex_mm"),
     ({"instrument": None}, "aphakic.instrument"), ({"form": None}, "aphakic.form"),
     ({"form": "spherocylinder", "sphere_d": 12.0}, "aphakic.cylinder_d"),
     ({"form": "spherocylinder", "sphere_d": 12.0, "cylinder_d": -1.0}, "aphakic.axis_deg")],
)
def test_an_incomplete_reading_is_not_used_and_named(entered: dict[str, Any], field: str) -> None:
    case = with_reading(**entered)
    plan, without = value("plan_case", {"case": case}), value("plan_case", {"case": sample()})
    assert (plan["second_route"]["used"], plan["second_route"]["field"]) == (False, field)
    assert plan["chosen"] == without["chosen"]
    found = value("check_case", {"case": case, "today": "2026-06-20"})["findings"]
    assert (field, "aphakic_not_used") in {(one["path"], one["code"]) for one in found}


def test_the_planned_refraction_at_follow_up_is_the_plans_own() -> None:
    case = with_reading()
    shown = value("plan_case", {"case": case})["chosen"]["mean_d"]
    later = value("follow_up_case", {"case": case, "today": "2026-06-20"})["plan_predicted_d"]
    assert later == pytest.approx(shown, abs=1e-9)
    assert later != value("follow_up_case", {"case": sample(), "today": "2026-06-20"})["plan_predicted_d"]


def test_the_reading_does_not_reopen_the_read_back() -> None:
    """What is read back are eye, lens, target and measurements; a reading is evidence, as in theatre."""
    first, second = (value("plan_case", {"case": case})["readback"] for case in (sample(), with_reading()))
    assert first == second
