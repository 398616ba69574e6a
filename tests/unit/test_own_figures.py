"""The surgeon's own figures: contrasts with their course, exclusions by hand, and a start date."""

from __future__ import annotations

import copy
import json
import random
from typing import Any

import pytest

from pycore.api import handle
from pycore.api.own_figures import MOST_POINTS
from tests.generators_surgeon import code, stored_eye
from tests.records.sample import sample
from tests.unit.test_surgeon_learn import GOOD, series, value


def figure(found: dict[str, Any], name: str) -> dict[str, Any]:
    return next(one for one in found["figures"] if one["name"] == name)


def test_no_figure_before_the_first_eye() -> None:
    found = value("learn", {"cases": []})
    assert (found["figures"], found["used"]) == ([], [])


def test_every_figure_ends_its_course_where_it_stands() -> None:
    found = value("learn", {"cases": series(12)})
    assert {one["name"] for one in found["figures"]} >= {
        "final_against_plan", "lens_position", "readings_against_plan", "final_against_readings", "travel_ratio"}
    for one in found["figures"]:
        assert one["low80"] < one["mean"] < one["high80"]
        assert len(one["trail"]) == 12
        last = one["trail"][-1]
        assert (last["mean"], last["low80"]) == (one["mean"], one["low80"])
    contrast = next(one for one in found["contrasts"] if one["name"] == "final_against_plan")
    assert figure(found, "final_against_plan")["mean"] == contrast["mean"]
    assert figure(found, "final_against_plan")["eyes"] == 12


def test_hyperopic_eyes_stand_for_a_lens_that_lies_deeper() -> None:
    cases = series(12)
    for case in cases:
        case["follow_ups"][-1]["sphere_d"] += 1.5
    deeper = figure(value("learn", {"cases": cases}), "lens_position")
    assert deeper["mean"] - figure(value("learn", {"cases": series(12)}), "lens_position")["mean"] > 0.15
    assert deeper["unit"] == "mm"


def test_entries_and_tunnels_are_shown_once_eyes_lie_away_from_the_reference() -> None:
    """1.5 mm tunnels in half of the eyes: those eyes 0.75 D more hyperopic ask for a deeper lens by tunnel."""
    cases = series(24)
    for place, case in enumerate(cases):
        case["plan"] |= {"entry_a_mm": 2.0, "entry_b_mm": 2.0, "tunnel_a_mm": 2.0, "tunnel_b_mm": 2.0}
        if place % 2:
            case["plan"] |= {"tunnel_a_mm": 1.5, "tunnel_b_mm": 1.5}
    before = figure(value("learn", {"cases": cases}), "tunnel_effect")["mean"]
    for case in cases[1::2]:
        case["follow_ups"][-1]["sphere_d"] += 0.75
    found = value("learn", {"cases": cases})
    names = {one["name"] for one in found["figures"]}
    assert "tunnel_effect" in names
    assert "entry_effect" not in names
    tunnel = figure(found, "tunnel_effect")
    assert tunnel["eyes"] == found["tunnel_effect"]["eyes"] == 12
    assert tunnel["mean"] == pytest.approx(found["tunnel_effect"]["mean"])
    assert tunnel["mean"] > before + 0.02
    assert tunnel["low80"] < tunnel["mean"] < tunnel["high80"]
    plain = value("learn", {"cases": [{**case, "plan": {**case["plan"], "tunnel_a_mm": 2.0, "tunnel_b_mm": 2.0}}
                                      for case in cases]})
    assert "tunnel_effect" not in {one["name"] for one in plain["figures"]}
    assert (plain["tunnel_effect"]["mean"], plain["tunnel_effect"]["eyes"]) == (0.20, 0)


def test_a_long_course_is_thinned_and_keeps_both_ends() -> None:
    source = random.Random("long")
    cases = [stored_eye(source, number, **GOOD) for number in range(90)]
    trail = figure(value("learn", {"cases": cases}), "travel_ratio")["trail"]
    whole = value("learn", {"cases": cases})["trail"]
    assert len(trail) == MOST_POINTS
    assert trail[0]["mean"] == pytest.approx(0.20 + whole[0]["means"]["travel_ratio"])
    assert trail[-1]["mean"] == pytest.approx(0.20 + whole[-1]["means"]["travel_ratio"])


def test_an_eye_excluded_by_hand_teaches_nothing_and_says_why() -> None:
    cases = series(6)
    cases[2]["not_learned"] = {"at": "2026-11-25T10:00:00Z", "reason": "First case with a new lens"}
    found = value("learn", {"cases": cases})
    assert [(one["code"], one["reason"]) for one in found["left_out"]] == [(code(2), "excluded_by_hand")]
    assert "First case with a new lens" in found["left_out"][0]["message"]
    others = value("learn", {"cases": [case for case in cases if case["code"] != code(2)]})
    assert found["surgeon"] == others["surgeon"]
    assert [one["code"] for one in found["used"]] == [one["code"] for one in others["used"]]


def test_learning_can_start_after_a_date() -> None:
    cases = series(12)
    days = sorted({case["surgery_on"] for case in cases})
    found = value("learn", {"cases": cases, "after": days[4]})
    later = [case for case in cases if case["surgery_on"] > days[4]]
    assert found["eyes"] == len(later)
    assert found["surgeon"] == value("learn", {"cases": later})["surgeon"]
    assert {one["reason"] for one in found["left_out"]} == {"before_start"}


def test_what_the_plan_moved_has_an_interval_and_an_eye_may_ignore_it() -> None:
    cases = series(12)
    for case in cases:
        case["follow_ups"][-1]["sphere_d"] += 1.0
    surgeon = value("learn", {"cases": cases, "formula": "srkt"})["surgeon"]
    moved = value("plan_case", {"case": sample(), "surgeon": surgeon})["history"]["moved"]
    assert moved["low80_d"] < moved["mean_d"] < moved["high80_d"]
    few = value("learn", {"cases": cases[:2], "formula": "srkt"})["surgeon"]
    assert value("plan_case", {"case": sample(), "surgeon": few})["history"]["moved"]["sd_d"] > moved["sd_d"]
    ignoring = {**sample(), "ignore_history": True}
    found = value("plan_case", {"case": ignoring, "surgeon": surgeon})
    assert (found["history"]["ignored"], found["history"]["used"]) == (True, 0)
    assert found["chosen"] == value("plan_case", {"case": sample()})["chosen"]


def test_the_planned_refraction_at_follow_up_starts_from_the_same_eyes() -> None:
    surgeon = value("learn", {"cases": series(12), "formula": "srkt"})["surgeon"]
    shown = value("plan_case", {"case": sample(), "surgeon": surgeon})["chosen"]["mean_d"]
    payload = {"case": sample(), "today": "2026-06-20"}
    assert value("follow_up_case", {**payload, "surgeon": surgeon})["plan_predicted_d"] == pytest.approx(shown, abs=1e-9)
    ignoring = {**payload, "case": {**sample(), "ignore_history": True}, "surgeon": surgeon}
    assert value("follow_up_case", ignoring)["plan_predicted_d"] == value("follow_up_case", payload)["plan_predicted_d"]


def test_an_aphakic_reading_of_a_learned_eye_keeps_its_length_and_cornea_together() -> None:
    """The lesson's noise falls when the eye's own length and cornea are better known."""
    cases = series(1)
    known = copy.deepcopy(cases)
    plan = json.loads(handle(json.dumps({"id": 1, "operation": "plan_case", "payload": {"case": cases[0]}})))["value"]
    assert plan["ready"]
    known[0]["aphakic"] |= {"instrument": "aberrometer", "form": "equivalent", "vertex_mm": 12, "refraction_d": 12.0}
    first, second = (value("learn", {"cases": one})["trail"][0]["final_against_plan"]["sd"] for one in (cases, known))
    assert second < first
