"""``result_rows``, ``results`` and ``result_intervals`` on invented eyes: what counts, and what is said."""

from __future__ import annotations

import copy
import json
from typing import Any

import pytest

from pycore.api import handle
from pycore.api.result_rows import row_of
from tests.invented_series import series

EYES = series(40)


def _ask(operation: str, **payload: Any) -> dict[str, Any]:
    answer: dict[str, Any] = json.loads(handle(json.dumps({"id": 1, "operation": operation, "payload": payload})))
    return answer


def _value(operation: str, **payload: Any) -> dict[str, Any]:
    answer = _ask(operation, **payload)
    assert "value" in answer, answer
    value: dict[str, Any] = answer["value"]
    return value


def _rows(eyes: list[dict[str, Any]]) -> list[dict[str, Any]]:
    return [row_of(case) for case in eyes]


def _changed(number: int = 0, **visit: Any) -> dict[str, Any]:
    """An eye whose visits from day 28 on are changed."""
    case = copy.deepcopy(EYES[number])
    for one in case["follow_ups"][1:]:
        one |= visit
    return case


def test_a_row_holds_the_three_predictions_and_the_first_settled_refraction() -> None:
    row = row_of(EYES[0])
    visit = EYES[0]["follow_ups"][1]
    assert row["state"] == "counted"
    assert row["days"] == 33
    assert row["achieved_d"] == pytest.approx(visit["sphere_d"] + visit["cylinder_d"] / 2)
    assert row["decided_d"] == EYES[0]["decisions"][-1]["mean_d"]
    assert row["planned_d"] is not None
    assert list(row["formulas"]) == ["srkt", "holladay1", "hoffer_q", "haigis"]
    assert [label for label, _ in row["visits"]] == ["Week 1", "Month 1", "Month 3"]


def test_more_haptic_outside_makes_plan_and_formulas_more_myopic() -> None:
    """The plan's error is judged at the length that was left: 3.0 mm against the reference of 2.0 mm."""
    near, far = (copy.deepcopy(EYES[0]) for _ in range(2))
    near["decisions"][-1]["outside_mm"], far["decisions"][-1]["outside_mm"] = 2.0, 3.0
    first, second = row_of(near), row_of(far)
    assert second["planned_d"] < first["planned_d"] - 0.1
    assert first["untitrated_d"] == pytest.approx(first["achieved_d"])
    assert second["untitrated_d"] == pytest.approx(second["achieved_d"] + first["planned_d"] - second["planned_d"])
    for name in first["formulas"]:
        assert second["formulas"][name][1] == pytest.approx(first["formulas"][name][1] - 0.2)


@pytest.mark.parametrize(("change", "words"), [
    ({"complications": ["corneal_oedema"]}, "corneal oedema"),
    ({"complications": ["gas_in_eye"]}, "gas or air"),
    ({"iop_mmhg": 4.0}, "IOP 4 mmHg"),
    ({"cdva_logmar": 0.8, "udva_logmar": 1.0}, "worse than 0.60"),
    ({"sphere_d": None, "cylinder_d": None, "axis_deg": None}, "no complete refraction"),
])
def test_what_does_not_count_is_listed_with_its_reason(change: dict[str, Any], words: str) -> None:
    found = _value("results", cases=[_changed(**change), *EYES[1:3]])
    assert found["counts"]["counted"] == 2
    assert [(one["code"], one["reason"]) for one in found["excluded"]] == [(EYES[0]["code"], "not_usable")]
    assert words in found["excluded"][0]["message"]


def test_eyes_that_wait_are_not_exclusions() -> None:
    early, planned = copy.deepcopy(EYES[0]), copy.deepcopy(EYES[1])
    early["follow_ups"] = early["follow_ups"][:1]
    planned["surgery_on"] = None
    found = _value("results", cases=[early, planned])
    assert [one["reason"] for one in found["waiting"]] == ["too_early", "not_operated"]
    assert found["excluded"] == []
    assert found["figures"] is None


def test_poor_acuity_leaves_the_refraction_out_but_not_the_acuity() -> None:
    found = _value("results", cases=[_changed(cdva_logmar=0.9, udva_logmar=1.0), *EYES[1:3]])
    graphs = {one["name"]: one for one in found["graphs"]}
    assert graphs["error_histogram"]["n"] == 2
    assert graphs["acuity"]["n"] == 3
    assert "Excluded: 1 by rule." in graphs["error_histogram"]["caption"]
    assert "No eye excluded." in graphs["acuity"]["caption"]


def test_an_eye_excluded_by_hand_is_in_no_figure_and_stays_listed() -> None:
    code = EYES[0]["code"]
    found = _value("results", cases=EYES[:3], excluded=[{"code": code, "reason": "Wrong eye entered."}])
    assert found["counts"] | {"counted": 2, "by_hand": 1, "records": 3} == found["counts"]
    assert found["excluded"][0] | {"code": code, "reason": "by_hand", "message": "Wrong eye entered."} == found["excluded"][0]
    assert all(graph["n"] <= 2 for graph in found["graphs"])


def test_an_exclusion_of_no_eye_is_said() -> None:
    answer = _ask("results", cases=EYES[:2], excluded=[{"code": "Q"}])
    assert [one["code"] for one in answer["warnings"]] == ["not_among_eyes"]


def test_demo_eyes_never_stand_beside_real_ones() -> None:
    demo = {**copy.deepcopy(EYES[0]), "demo": True}
    assert _value("results", cases=[demo, *EYES[1:3]])["counts"]["records"] == 2
    invented = _value("results", cases=[demo, *EYES[1:3]], demo=True)
    assert invented["counts"] | {"records": 1, "counted": 1} == invented["counts"]


def test_one_eye_a_person_is_the_first_operated() -> None:
    pairs = [one for one in EYES if sum(other["person"] == one["person"] for other in EYES) == 2]
    assert len(pairs) >= 4
    found = _value("results", rows=_rows(EYES), one_eye_per_person=True)
    assert found["counts"]["counted"] == found["counts"]["persons"] == len({one["person"] for one in EYES})
    left_out = {one["code"] for one in found["excluded"] if one["reason"] == "other_eye"}
    assert left_out == {one["code"] for one in pairs if one["eye"] == "left"}


def test_both_eyes_of_a_person_widen_the_interval() -> None:
    twice = [{**copy.deepcopy(case), "code": f"twin-{index}"} for index, case in enumerate(EYES[:10])]
    rows = _rows(EYES[:10])
    doubled = [*rows, *({**row, "code": f"{row['code']}-2"} for row in rows)]
    assert len(twice) == 10
    once, both = (_value("results", rows=one)["figures"] for one in (rows, doubled))
    assert both["n"] == 20
    assert both["persons"] == once["persons"]
    assert both["mean_high95_d"] == pytest.approx(once["mean_high95_d"])


def test_figures_are_those_of_the_audit() -> None:
    rows = _rows(EYES)
    plain = _value("audit", rows=[{"predicted_d": row["target_d"], "achieved_d": row["achieved_d"]} for row in rows])
    found = _value("results", rows=rows)["figures"]
    for name in ("n", "mean_d", "sd_d", "mae_d", "medae_d", "rmse_d"):
        assert found[name] == pytest.approx(plain[name]), name
    assert found["within_050"]["count"] == round(plain["within_050"]["fraction"] * 40)


def test_titration_is_judged_on_the_same_eyes() -> None:
    found = _value("results", rows=_rows(EYES))["titration"]["outcome"]
    gained = found["brought_in"] - found["taken_out"]
    assert found["gained_share"]["value"] == pytest.approx(gained / found["n"])
    shares = found["achieved"]["within_050"]["count"] - found["without"]["within_050"]["count"]
    assert shares == gained
    assert found["gained_d"]["value"] == pytest.approx(found["without"]["mae_d"] - found["achieved"]["mae_d"])


def test_formulas_are_zeroed_on_the_same_eyes_and_compared_in_pairs() -> None:
    found = _value("results", rows=_rows(EYES))
    for row in found["formulas"]["rows"]:
        assert row["figures"]["n"] == 40
        assert abs(row["figures"]["mean_d"]) < 1e-4
        assert (row["distance_against_base_d"] is None) == (row["name"] == "holladay1")
    for row in found["constants"]["rows"]:
        lens, = row["lenses"]
        assert lens["zeroing"] == pytest.approx(lens["label_constant"] + row["shift"]["value"])
        assert lens["low95"] < lens["zeroing"] < lens["high95"]
        assert abs(lens["shrunk"] - lens["label_constant"]) < abs(lens["zeroing"] - lens["label_constant"])
    assert found["constants"]["rows"][0]["lenses"][0]["label_constant"] == 118.7


@pytest.mark.parametrize("count", [0, 1, 2, 3])
def test_few_eyes_say_what_is_missing(count: int) -> None:
    found = _value("results", rows=_rows(EYES[:count]))
    assert (found["figures"] is None) == (count == 0)
    for graph in found["graphs"]:
        assert (graph["data"] is None) == (graph["missing"] is not None)
        assert graph["few"]
    if count == 0:
        assert all("none has them yet" in graph["missing"] for graph in found["graphs"])


def test_every_graph_says_its_eyes_time_and_exclusions() -> None:
    for graph in _value("results", rows=_rows(EYES))["graphs"]:
        assert graph["caption"].startswith("40 eyes of")
        assert "Median day 33" in graph["caption"]
        assert "excluded" in graph["caption"].lower()


def test_bootstrap_intervals_hold_their_figures() -> None:
    rows = _rows(EYES)
    figures, intervals = _value("results", rows=rows), _value("result_intervals", rows=rows)
    for name in ("sd_d", "mae_d", "medae_d", "rmse_d"):
        low, high = intervals["series"]["target"][name]
        assert low <= figures["figures"][name] <= high
    assert intervals["formulas"]["holladay1"]["median_against_base_d"] is None
    assert len(intervals["formulas"]["srkt"]["median_against_base_d"]) == 2
    assert _value("result_intervals", rows=[]) == {"series": {"target": None, "decided": None, "planned": None}, "formulas": {}}


@pytest.mark.parametrize(("change", "field"), [
    ({"achieved_d": "1"}, "rows[1].achieved_d"), ({"achieved_d": None}, "rows[1].achieved_d"),
    ({"days": True}, "rows[1].days"), ({"target_d": 1e9}, "rows[1].target_d"), ({"code": 7}, "rows[1].code"),
    ({"formulas": {"srkt": [1, 2]}}, "rows[1].formulas"), ({"acuity": {"near": 0.1}}, "rows[1].acuity"),
    ({"visits": [["Month 1"]]}, "rows[1].visits"), ({"state": "fine"}, "rows[1]"), ({"more": 1}, "rows[1]"),
])
def test_a_damaged_row_is_named(change: dict[str, Any], field: str) -> None:
    rows = _rows(EYES[:2])
    rows[1] |= change
    assert _ask("results", rows=rows)["error"]["field"] == field


def test_rows_or_cases() -> None:
    assert _ask("results")["error"]["code"] == "missing_field"
    assert _ask("results", rows=[], cases=[])["error"]["code"] == "inconsistent"


def test_a_record_that_cannot_be_read_is_listed() -> None:
    broken = copy.deepcopy(EYES[0])
    broken["measurements"]["axial_length_mm"] = 235
    found = _value("results", cases=[broken, {"code": "?"}])
    assert [one["reason"] for one in found["excluded"]] == ["incomplete", "incomplete"]
    assert "23.5" in found["excluded"][0]["message"]
