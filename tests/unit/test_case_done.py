"""What was done against what was decided, and the prediction that goes with it."""

from __future__ import annotations

from typing import Any

import pytest

from pycore.api.boundary import answer
from pycore.api.case_done import left_outside_mm
from tests.records.sample import changed, entry, sample

Case = dict[str, Any]


def follow(case: Case) -> Case:
    value: Case = answer("follow_up_case", {"case": case, "today": "2026-06-20"})["value"]
    return value


def more_cut(more_mm: float) -> Case:
    """The sample with this much more cut from both haptics than was decided (1.0 mm each)."""
    case = sample()
    for row in case["haptic_log"]:
        if row["haptic_step"] == "cut":
            row["length_mm"] = 1.0 + more_mm
    return case


def test_what_was_left_outside_is_cut_and_melt_less_the_depth() -> None:
    assert left_outside_mm(sample()) == pytest.approx(1.7)  # 1.0 + 1.0 - 0.3
    assert left_outside_mm(more_cut(0.5)) == pytest.approx(2.2)


def test_as_decided_the_decision_is_the_prediction() -> None:
    done = follow(sample())["done"]
    assert (done["predicted_d"], done["predicted_from"], done["departs"]) == (-0.4, "decision", None)


def test_rounding_of_a_cut_is_no_departure() -> None:
    assert follow(more_cut(0.1))["done"]["predicted_from"] == "decision"


def test_more_cut_than_decided_is_expected_more_myopic_and_said() -> None:
    found = follow(more_cut(0.5))
    done, visit = found["done"], found["visits"][1]
    assert done["predicted_from"] == "log"
    assert done["predicted_d"] < -0.4
    assert "The log leaves 2.2 mm outside, 1.7 mm was decided" in done["departs"]
    assert visit["error_d"] == pytest.approx(-0.5 - done["predicted_d"], abs=1e-12)
    assert visit["error_text"].endswith("than predicted for what was done")


def test_the_shift_is_the_one_that_the_theatre_predicts_between_the_two_lengths() -> None:
    """Consistency: the belief's own movement between 1.7 and 2.2 mm, from the theatre's chart."""
    free = {**sample(), "haptic_log": []}
    lines = [
        answer("theatre_case", {"case": _read_back(free), "cut_mm": [cut, cut]})["value"]["decision"]["mean_d"]
        for cut in (1.0, 1.5)
    ]
    shift = follow(more_cut(0.5))["done"]["predicted_d"] - -0.4
    assert shift == pytest.approx(lines[1] - lines[0], abs=1e-9)


def _read_back(case: Case) -> Case:
    fingerprint = answer("plan_case", {"case": case})["value"]["readback"]["fingerprint"]
    return changed("readbacks.0.values", {"fingerprint": fingerprint}, case)


def test_without_a_decision_the_log_and_the_readings_predict() -> None:
    done = follow({**sample(), "decisions": []})["done"]
    assert done["predicted_from"] == "log"
    assert done["predicted_d"] is not None


def test_without_readings_only_the_plan_predicts() -> None:
    done = follow({**sample(), "decisions": [], "readings": []})["done"]
    assert (done["predicted_d"], done["predicted_from"]) == (None, None)


def test_a_departure_that_cannot_be_predicted_is_still_said() -> None:
    done = follow(changed("lens.lens_power_d", None, more_cut(0.5)))["done"]
    assert (done["predicted_d"], done["predicted_from"]) == (-0.4, "decision")
    assert "cannot be predicted" in done["departs"]


def test_a_cut_corrected_down_does_not_contradict_a_reading_taken_in_between() -> None:
    """2.0 mm were logged, a reading taken, then 1.5 mm logged instead: theatre goes on."""
    case = _read_back({**sample(), "decisions": [], "haptic_log": [], "surgery_on": None, "follow_ups": []})
    case["haptic_log"] = [
        entry("p", 10, "a", "pull", 3.0), entry("c", 12, "a", "cut", 2.0),
        entry("n", 20, "a", "cut", 1.5, corrects="c"),
    ]
    case["readings"].append({**case["readings"][0], "id": "r3", "at": "2026-05-12T08:14:00Z", "placement": 3,
                             "outside_a_mm": 1.5, "removed_a_mm": 2.0})
    case["readings"].append({**case["readings"][0], "id": "r4", "at": "2026-05-12T08:25:00Z", "placement": 4,
                             "outside_a_mm": 1.5, "removed_a_mm": 1.5})
    value = answer("theatre_case", {"case": case})["value"]
    assert value["advice"] is not None
    third = next(row for row in value["readings"] if row["id"] == "r3")
    assert third["outside_mm"] == pytest.approx((1.5 + 1.5 + 3.0) / 2)  # side a 1.5 + 1.5, side b 3.0
    checked = answer("check_case", {"case": case, "today": "2026-05-12"})["value"]["findings"]
    assert "removed_became_less" not in {found["code"] for found in checked}
