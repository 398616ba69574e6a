"""The surgeon's own cut as the decision, and the log that waits for the read-back."""

from __future__ import annotations

from typing import Any

import pytest

from pycore.api.boundary import answer
from tests.records.sample import changed, reading, sample

Case = dict[str, Any]


MINUS = "\N{MINUS SIGN}"


def read_back(case: Case) -> Case:
    fingerprint = answer("plan_case", {"case": case})["value"]["readback"]["fingerprint"]
    return changed("readbacks.0.values", {"fingerprint": fingerprint}, case)


@pytest.fixture(scope="module")
def case() -> Case:
    """Two readings, both haptics free, the plan read back, nothing cut."""
    return read_back({**sample(), "haptic_log": [], "decisions": [], "surgery_on": None, "follow_ups": []})


def theatre(case: Case, **given: Any) -> Case:
    value: Case = answer("theatre_case", {"case": case, **given})["value"]
    return value


def test_without_a_choice_the_decision_is_the_advice(case: Case) -> None:
    found = theatre(case)
    advice, decision = found["advice"], found["decision"]
    assert decision["decided_as"] == "advised"
    assert [decision["cut_a_mm"], decision["cut_b_mm"]] == advice["cut_mm"]
    assert decision["mean_d"] == advice["final"]["mean_d"]
    assert found["own_cut"] is None


def test_a_neighbour_is_predicted_as_the_table_of_neighbours_says(case: Case) -> None:
    for neighbour in theatre(case)["neighbours"]:
        decision = theatre(case, cut_mm=neighbour["cut_mm"])["decision"]
        assert decision["outside_mm"] == pytest.approx(neighbour["outside_mm"])
        assert decision["mean_d"] == pytest.approx(neighbour["mean_d"])
        assert decision["decided_as"] == ("advised" if neighbour["advised"] else "own")


def test_an_own_cut_leaves_cut_and_melt_less_the_depth(case: Case) -> None:
    found = theatre(case, cut_mm=[0.4, 0.8])
    assert found["decision"]["outside_mm"] == pytest.approx((0.4 + 0.8) / 2 + 1.0 - 0.3)
    assert found["decision"]["advised_outside_mm"] == pytest.approx(found["advice"]["outside_mm"])
    assert ("the surgeon's own cut" in found["readback"]["lines"][-1]["value"])
    assert "cut 0.4 mm" in found["readback"]["lines"][2]["value"]


def test_more_cut_is_called_more_myopic(case: Case) -> None:
    less, more = theatre(case, cut_mm=[0.0, 0.0]), theatre(case, cut_mm=[2.0, 2.0])
    assert more["decision"]["mean_d"] < less["decision"]["mean_d"]
    assert more["own_cut"].endswith("more cut, lens further forward, more myopic.")
    assert [one["way"] for one in less["neighbours"] if one["advised"]] == [None]
    assert {one["way"] for one in less["neighbours"] if one["outside_mm"] > less["advice"]["outside_mm"]} <= {
        "more cut, lens further forward, more myopic"}


def test_with_a_minus_lens_more_cut_is_called_more_hyperopic(case: Case) -> None:
    """An optic that diverges does the opposite as it comes forward."""
    minus = read_back(changed("lens.lens_power_d", -4.0, case))
    less, more = theatre(minus, cut_mm=[0.0, 0.0]), theatre(minus, cut_mm=[2.0, 2.0])
    assert more["decision"]["mean_d"] > less["decision"]["mean_d"]
    assert more["own_cut"].endswith("more cut, lens further forward, more hyperopic.")
    assert "more myopic than about" in more["rules_out"][0]


def test_a_cut_rules_out_the_way_back_and_says_how_far(case: Case) -> None:
    found = theatre(case, cut_mm=[1.0, 1.0])
    expected = found["decision"]["mean_d"]
    assert f"more hyperopic than about {'+' if expected > 0 else MINUS}{abs(expected):.2f} D" in found["rules_out"][0]
    assert "another lens" in found["rules_out"][1]
    assert len(theatre(case, cut_mm=[0.0, 0.0])["rules_out"]) == 1


def test_without_a_reading_the_answer_says_that_it_rests_on_the_plan_alone(case: Case) -> None:
    assert theatre(case)["plan_alone"] is None
    found = theatre({**case, "readings": []})
    assert "No reading was taken" in found["plan_alone"]["message"]
    assert {"label": "Rests on", "value": "the plan alone, without a reading"} in found["readback"]["lines"]


def test_what_cannot_be_drawn_out_is_warned_about(case: Case) -> None:
    found = theatre(case, cut_mm=[5.0, 5.0])
    assert "own_cut_beyond_taut" in {caution["code"] for caution in found["cautions"]}


@pytest.mark.parametrize("cut", [[-0.1, 1.0], [9.0, 1.0], [1.0], "1"])
def test_an_impossible_cut_is_refused(case: Case, cut: object) -> None:
    from pycore.errors import GuylineError
    with pytest.raises(GuylineError):
        theatre(case, cut_mm=cut)


def _cut_row(minute: int, *, by_two: bool = True) -> Case:
    return {"id": f"cut{minute}", "at": f"2026-05-12T08:{minute:02d}:00Z", "kind": "cut", "values": {},
            "by_two": by_two}


def test_the_log_of_a_cut_waits_for_its_read_back(case: Case) -> None:
    gate = theatre(case)["log_gate"]
    assert (gate["open"], gate["steps"]) == (False, ["cut", "melt"])
    assert "not read back" in gate["reason"]


@pytest.mark.parametrize("by_two", [True, False])
def test_read_back_or_said_not_to_be_it_opens(case: Case, by_two: bool) -> None:
    done = {**case, "readbacks": [*case["readbacks"], _cut_row(12, by_two=by_two)]}
    assert theatre(done)["log_gate"] == {"open": True, "reason": None, "steps": ["cut", "melt"]}


def test_a_reading_after_the_read_back_closes_it_again(case: Case) -> None:
    later = {**case, "readbacks": [*case["readbacks"], _cut_row(12)],
             "readings": [*case["readings"], reading("r9", 14, 2.0, placement=3)]}
    assert theatre(later)["log_gate"]["open"] is False
