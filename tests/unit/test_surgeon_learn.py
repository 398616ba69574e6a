"""``learn`` and what starts from it: which eyes count, what is said, and nothing without it."""

from __future__ import annotations

import copy
import json
import random
from typing import Any

import pytest

from pycore.api import handle
from pycore.api.plan_answers import fingerprint
from pycore.api.schema import Notes
from pycore.api.surgeon_items import surgeon_of, surgeon_value
from pycore.belief.surgeon import no_history
from pycore.records.shape import examine
from tests.generators import requests
from tests.generators_surgeon import code, stored_eye


def ask(operation: str, payload: dict[str, Any]) -> dict[str, Any]:
    answer: dict[str, Any] = json.loads(handle(json.dumps({"id": 1, "operation": operation,
                                                           "payload": payload})))
    return answer


def value(operation: str, payload: dict[str, Any]) -> dict[str, Any]:
    answer = ask(operation, payload)
    assert "value" in answer, answer
    found: dict[str, Any] = answer["value"]
    return found


GOOD: dict[str, Any] = {"on": "2026-06-20", "refraction_method": "subjective", "cdva_logmar": 0.0,
                        "iop_mmhg": 15, "complications": [], "cylinder_d": 0.0, "axis_deg": None}


def series(count: int, **follow_up: Any) -> list[dict[str, Any]]:
    source = random.Random("series")
    return [stored_eye(source, number, **GOOD, **follow_up) for number in range(count)]


def contrast(found: dict[str, Any], name: str) -> dict[str, Any]:
    return next(one for one in found["contrasts"] if one["name"] == name)


def test_no_eye_teaches_nothing() -> None:
    answer = ask("learn", {"cases": []})
    found = answer["value"]
    assert (found["eyes"], found["trail"], found["left_out"]) == (0, [], [])
    assert all(one["mean"] == one["default_mean"] and one["sd"] == one["default_sd"]
               for one in found["shifts"])
    assert [one["code"] for one in answer["warnings"]] == ["few_eyes"]


def test_hyperopic_follow_ups_are_learned_as_hyperopia() -> None:
    """All 1.00 D more hyperopic than before: final against plan goes up, not down."""
    before, after = series(12), series(12)
    for case in after:
        case["follow_ups"][-1]["sphere_d"] += 1.0
    means = [contrast(value("learn", {"cases": cases}), "final_against_plan")["mean"]
             for cases in (before, after)]
    assert 0.2 < means[1] - means[0] < 1.0


def test_contrasts_come_with_both_intervals_and_the_trail_ends_there() -> None:
    found = value("learn", {"cases": series(6)})
    for one in found["contrasts"]:
        assert one["low95"] < one["low80"] < one["mean"] < one["high80"] < one["high95"]
    assert len(found["trail"]) == found["eyes"] == 6
    last = found["trail"][-1]
    assert last["final_against_plan"]["mean"] == contrast(found, "final_against_plan")["mean"]
    assert list(last["means"].values()) == found["surgeon"]["mean"]
    assert [step["surgery_on"] for step in found["trail"]] == sorted(
        step["surgery_on"] for step in found["trail"])


@pytest.mark.parametrize(
    ("change", "reason", "word"),
    [
        ({"iop_mmhg": 7}, "not_usable", "IOP"),
        ({"iop_mmhg": 31}, "not_usable", "IOP"),
        ({"complications": ["corneal_oedema"]}, "not_usable", "corneal oedema"),
        ({"complications": ["macular_oedema"]}, "not_usable", "macular oedema"),
        ({"complications": ["gas_in_eye"]}, "not_usable", "gas"),
        ({"complications": ["optic_capture"]}, "not_usable", "optic capture"),
        ({"cdva_logmar": 0.7}, "not_usable", "acuity"),
        ({"on": "2026-05-20"}, "not_usable", "day"),
        ({"sphere_d": None}, "not_usable", "refraction"),
    ],
)
def test_an_unusable_follow_up_is_left_out_with_its_reason(
    change: dict[str, Any], reason: str, word: str
) -> None:
    case = series(1)[0]
    case["follow_ups"][-1] |= change
    (left,) = value("learn", {"cases": [case]})["left_out"]
    assert (left["code"], left["reason"]) == (code(0), reason)
    assert word in left["message"]


@pytest.mark.parametrize("change", [{"iop_mmhg": 8}, {"iop_mmhg": 30}, {"cdva_logmar": 0.6}])
def test_the_limits_themselves_still_count(change: dict[str, Any]) -> None:
    case = series(1)[0]
    case["follow_ups"][-1] |= change
    assert value("learn", {"cases": [case]})["eyes"] == 1


def test_other_eyes_left_out_say_why() -> None:
    cases = series(5)
    cases[1]["demo"] = True
    cases[2]["follow_ups"] = []
    cases[3]["measurements"]["axial_length_mm"] = None
    cases[4] = copy.deepcopy(cases[0])
    found = value("learn", {"cases": cases, "ignore": [code(0)]})
    reasons = {(one["code"], one["reason"]) for one in found["left_out"]}
    assert reasons == {(code(0), "excluded"), (code(1), "demo"), (code(2), "no_follow_up"),
                       (code(3), "incomplete")}
    assert found["eyes"] == 0
    twice = value("learn", {"cases": [cases[0], cases[4]]})
    assert [one["reason"] for one in twice["left_out"]] == ["twice"]
    assert twice["eyes"] == 1


def test_excluding_by_hand_is_never_having_operated() -> None:
    cases = series(8)
    excluded = value("learn", {"cases": cases, "ignore": [code(3)]})
    never = value("learn", {"cases": [case for case in cases if case["code"] != code(3)]})
    assert {**excluded, "left_out": []} == never


def test_as_of_is_what_was_known_then() -> None:
    cases = series(4)
    for case in cases[2:]:
        case["follow_ups"][-1]["on"] = "2026-08-01"
    assert value("learn", {"cases": cases, "as_of": "2026-07-01"})["surgeon"] == value(
        "learn", {"cases": cases[:2]})["surgeon"]


def test_weaker_follow_ups_teach_less_and_by_degrees() -> None:
    """Ordinary, autorefractor 0.20, retinoscopy 0.35, and with poor acuity as well."""
    sds = [
        contrast(value("learn", {"cases": series(10) if not change else [
            {**case, "follow_ups": [*case["follow_ups"][:-1], case["follow_ups"][-1] | change]}
            for case in series(10)]}), "final_against_plan")["sd"]
        for change in ({}, {"refraction_method": "autorefractor"}, {"refraction_method": "retinoscopy"},
                       {"refraction_method": "retinoscopy", "cdva_logmar": 0.5})
    ]
    assert sds == sorted(sds)
    assert len(set(sds)) == 4


def test_poor_acuity_counts_like_retinoscopy() -> None:
    first, second = (
        value("learn", {"cases": [
            {**case, "follow_ups": [*case["follow_ups"][:-1], case["follow_ups"][-1] | change]}
            for case in series(5)]})["surgeon"]
        for change in ({"cdva_logmar": 0.4}, {"refraction_method": "retinoscopy"})
    )
    assert first == second


def test_the_final_length_falls_back_and_says_so() -> None:
    case = series(1)[0]
    logged = value("learn", {"cases": [case]})
    assert logged["assumed"] == {}
    without_log = {**case, "haptic_log": []}
    assert "last decision" in value("learn", {"cases": [without_log]})["assumed"][code(0)][0]
    nothing = {**without_log, "decisions": []}
    assert "assumed" in value("learn", {"cases": [nothing]})["assumed"][code(0)][0]


def test_the_surgeon_goes_through_json_and_back() -> None:
    given = value("learn", {"cases": series(6)})["surgeon"]
    belief, formula = surgeon_of(given, "surgeon", Notes())
    assert surgeon_value(belief, formula=formula) == given


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"plan_factor": 3.0}, "surgeon.plan_factor"),
        ({"mean": [0.0]}, "surgeon"),
        ({"covariance": [[0.0] * 8] * 8}, "surgeon.covariance"),
        ({"covariance": [[1.0] * 8] * 7}, "surgeon.covariance"),
        ({"formula": "srkt"}, "surgeon.formula"),
        ({"names": ["x"] * 8}, "surgeon"),
        ({"extra": 1}, "surgeon.extra"),
    ],
)
def test_a_surgeon_that_learn_did_not_write_is_refused(change: dict[str, Any], field: str) -> None:
    payload = {**advise_request(), "formula": "holladay1"}
    good = surgeon_value(no_history(), formula="holladay1")
    assert "value" in ask("advise", {**payload, "surgeon": good})
    assert ask("advise", {**payload, "surgeon": {**good, **change}})["error"]["field"] == field


def advise_request() -> dict[str, Any]:
    return {
        "axial_length_mm": 23.5, "k1_d": 43.0, "k2_d": 44.0, "axial_method": "optical",
        "formula": "holladay1", "constants": {"a": 118.7}, "lens_power_d": 21.0, "target_d": -0.5,
        "readings": [{"outside_mm": [2.4, 2.4], "refraction_d": -0.3, "instrument": "aberrometer"},
                     {"outside_mm": [1.2, 1.2], "refraction_d": 0.1, "instrument": "aberrometer"}],
        "haptic": {"drawn_out_mm": 2.6},
    }


def without_history(answer: dict[str, Any]) -> dict[str, Any]:
    return {key: part for key, part in answer.items() if key != "history"}


def test_an_empty_or_ignored_history_changes_no_digit() -> None:
    cases = series(6)
    for payload in [advise_request(), *requests("advise", 20, seed=5, spoiled=0.0)]:
        plain = ask("advise", payload)
        if "error" in plain:
            continue
        assert plain["value"]["history"] is None
        extras: tuple[dict[str, Any], ...] = ({"history": []}, {"history": cases, "ignore_history": True})
        for extra in extras:
            other = value("advise", {**payload, **extra})
            assert without_history(other) == without_history(plain["value"])
            assert other["history"]["used"] == 0


def test_history_and_surgeon_give_the_same_advice() -> None:
    cases = series(8)
    surgeon = value("learn", {"cases": cases})["surgeon"]
    one = value("advise", {**advise_request(), "history": cases})
    two = value("advise", {**advise_request(), "surgeon": surgeon})
    assert without_history(one) == without_history(two)
    assert one["history"]["used"] == two["history"]["used"] == 8
    assert "error" in ask("advise", {**advise_request(), "history": cases, "surgeon": surgeon})


def test_a_hyperopic_history_expects_hyperopia_and_says_by_how_much() -> None:
    cases = series(20)
    for case in cases:
        case["follow_ups"][-1]["sphere_d"] = 1.75
    payload = {**advise_request(), "readings": []}
    plain, moved = value("advise", payload), value("advise", {**payload, "history": cases})
    assert moved["history"]["moved"]["mean_d"] > 0.3
    assert moved["nothing_cut"]["mean_d"] > plain["nothing_cut"]["mean_d"] + 0.3


def test_an_override_in_the_request_goes_before_the_history() -> None:
    belief = {"reading_bias_d": {"mean": 0.0, "sd": 0.2}, "travel_ratio": {"mean": 0.25, "sd": 0.01},
              "settle_d": {"mean": 0.0, "sd": 0.25}, "lens_position_mm": {"mean": 0.0, "sd": 0.49}}
    found = value("advise", {**advise_request(), "history": series(8), "belief": belief})
    assert found["travel_ratio"]["mean"] == pytest.approx(0.25, abs=0.01)
    shown = {one["name"]: one for one in found["history"]["shifts"]}
    assert shown["reading_bias_d:aberrometer"]["mean"] == 0.0
    assert shown["settle_d"]["sd"] == 0.25


def planned_case() -> dict[str, Any]:
    """An eye to plan and titrate, its plan read back."""
    case = stored_eye(random.Random("planned"), 99, **GOOD)
    case |= {"follow_ups": [], "decisions": [], "haptic_log": [], "surgery_on": None}
    case["plan"]["formula"] = "holladay1"
    case["readbacks"][0]["values"]["fingerprint"] = fingerprint(examine(case).sound)
    return case


@pytest.mark.parametrize("operation", ["plan_case", "theatre_case"])
def test_the_stored_eye_starts_from_the_history_too(operation: str) -> None:
    case, cases = planned_case(), series(12)
    for other in cases:
        other["follow_ups"][-1]["sphere_d"] = 1.75
    plain = value(operation, {"case": case})
    assert plain["history"] is None
    ignored = value(operation, {"case": case, "history": cases, "ignore_history": True})
    assert without_history(ignored) == without_history(plain)
    assert (ignored["history"]["used"], ignored["history"]["ignored"]) == (0, True)
    moved = value(operation, {"case": case, "history": [*cases, case]})
    assert (moved["history"]["used"], moved["history"]["left_out"]) == (12, 1)
    assert moved["history"]["moved"]["mean_d"] > 0.1
    surgeon = value("learn", {"cases": cases})["surgeon"]
    assert without_history(value(operation, {"case": case, "surgeon": surgeon})) == without_history(moved)


def test_an_eye_does_not_teach_its_own_prediction() -> None:
    cases = series(3)
    found = value("plan_case", {"case": {**cases[0], "plan": {**cases[0]["plan"], "formula": "holladay1"}},
                                "history": cases})
    assert (found["history"]["used"], found["history"]["left_out"]) == (2, 1)


def test_budget_shares_still_sum_to_one() -> None:
    case, cases = planned_case(), series(20)
    budget = value("plan_case", {"case": case, "history": cases})["budget"]
    assert sum(part["share"] for part in budget) == pytest.approx(1.0)
