"""The demo eyes: invented, marked, one a stage, and without a single finding."""

from __future__ import annotations

import json
import math
from typing import Any

import pytest

from pycore.api.boundary import answer
from pycore.records.case import CASE, Group, Rows
from pycore.records.codes import is_code

STAGES = ("plan", "theatre", "follow_up")


def demo() -> list[dict[str, Any]]:
    cases: list[dict[str, Any]] = answer("demo_cases", {})["value"]["cases"]
    return cases


def by_stage() -> dict[str, dict[str, Any]]:
    return dict(zip(STAGES, demo(), strict=True))


@pytest.mark.parametrize("stage", STAGES)
def test_each_stage_has_an_eye_without_findings(stage: str) -> None:
    found = answer("check_case", {"case": by_stage()[stage], "today": "2026-11-25"})["value"]
    assert (found["stage"], found["findings"]) == (stage, [])


def test_they_say_that_they_are_invented() -> None:
    assert all(case["demo"] is True for case in demo())
    assert "made-up" in answer("demo_cases", {})["value"]["about"]


def test_codes_are_valid_different_and_the_same_every_time() -> None:
    codes = [case["code"] for case in demo()]
    assert all(is_code(code) for code in codes)
    assert len(set(codes)) == 3
    assert json.dumps(demo()) == json.dumps(demo())


def test_every_key_of_the_record_is_there() -> None:
    for case in demo():
        assert set(case) == set(CASE.members) | {"schema"}
        for key, node in CASE.members.items():
            if isinstance(node, Group) and not node.optional:
                assert set(case[key]) == set(node.members)
            if isinstance(node, Rows):
                assert all(set(row) == set(node.row.members) for row in case[key])


@pytest.mark.parametrize("stage", STAGES)
def test_the_plan_can_be_made_and_read_back(stage: str) -> None:
    plan = answer("plan_case", {"case": by_stage()[stage]})["value"]
    assert plan["ready"] is True
    assert plan["missing"] == []
    assert plan["readback"]["lines"]


@pytest.mark.parametrize("stage", ["theatre", "follow_up"])
def test_the_plan_is_the_same_whatever_was_done_to_the_haptics(stage: str) -> None:
    case = by_stage()[stage]
    untouched = {**case, "readings": [], "haptic_log": [], "decisions": []}
    plans = [answer("plan_case", {"case": each})["value"] for each in (case, untouched)]
    assert plans[0]["lenses"] == plans[1]["lenses"]
    assert plans[0]["chosen"] == plans[1]["chosen"]


@pytest.mark.parametrize("stage", ["theatre", "follow_up"])
def test_the_plan_that_was_read_back_is_the_plan_that_stands(stage: str) -> None:
    theatre = answer("theatre_case", {"case": by_stage()[stage]})["value"]
    assert theatre["blocked"] is None
    assert all(reading["used"] for reading in theatre["readings"])


def test_the_eye_in_theatre_has_a_cut_to_advise() -> None:
    case = by_stage()["theatre"]
    assert len(case["readings"]) == 2
    advice = answer("theatre_case", {"case": case})["value"]["advice"]
    assert advice["no_useful_adjustment"] is False


def test_the_cut_that_was_made_is_the_one_decided() -> None:
    case = by_stage()["follow_up"]
    decision = case["decisions"][0]
    for side in "ab":
        done = {step: math.fsum(row["length_mm"] for row in case["haptic_log"]
                                if row["haptic"] == side and row["haptic_step"] == step)
                for step in ("cut", "melt", "bury")}
        assert done["cut"] == decision[f"cut_{side}_mm"]
        assert done["cut"] + done["melt"] - done["bury"] == pytest.approx(decision["outside_mm"], abs=1e-9)


def test_the_month_one_visit_counts_and_is_close_to_its_prediction() -> None:
    found = answer("follow_up_case", {"case": by_stage()["follow_up"], "today": "2026-11-25"})["value"]
    month = found["visits"][-1]
    assert (month["label"], month["counts"]) == ("Month 1", True)
    assert month["se_d"] == pytest.approx(-0.375, abs=1e-12)  # 0.00 - 0.75 / 2
    assert month["error_d"] == pytest.approx(-0.195, abs=1e-12)
    assert found["cautions"] == []


def test_they_are_left_out_of_an_export_unless_asked_for() -> None:
    assert answer("export_csv", {"cases": demo()})["value"]["rows"] == 0
    assert answer("export_csv", {"cases": demo(), "exclude_demo": False})["value"]["rows"] == 3
