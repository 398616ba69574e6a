"""``check_case`` through the door: findings, stage, what is due, both eyes side by side."""

from __future__ import annotations

import json
import math
from typing import Any

import pytest

from pycore.api import handle
from pycore.api.boundary import answer
from pycore.errors import GuylineError, NewerRecord, OutOfRange, RecordError
from pycore.records.codes import new_code
from tests.records.sample import OTHER_CODE, changed, sample

Case = dict[str, Any]


def check(case: Any, **options: Any) -> Case:
    value: Case = answer("check_case", {"case": case, "today": "2026-06-20", **options})["value"]
    return value


def bare(**parts: Any) -> Case:
    rows: Case = {key: [] for key in ("readbacks", "readings", "haptic_log", "decisions", "follow_ups")}
    return {**sample(), **rows, "surgery_on": None, **parts}


def test_a_sound_record_comes_back_with_nothing_found() -> None:
    found = check(sample())
    assert found["case"] == sample()
    assert (found["findings"], found["stage"]) == ([], "follow_up")
    assert (found["due"], found["due_on"]) == ("Month 3 due 2026-08-11", "2026-08-11")


def test_findings_have_path_code_severity_and_message() -> None:
    finding = check(changed("eye", "both"))["findings"][0]
    assert finding == {"path": "eye", "code": "unknown_choice", "severity": "impossible",
                       "message": "Eye must be one of right, left."}


def test_a_faulty_value_stays_in_the_record_that_comes_back() -> None:
    assert check(changed("measurements.k1_d", "43"))["case"]["measurements"]["k1_d"] == "43"


@pytest.mark.parametrize(
    ("case", "stage", "due"),
    [
        (bare(), "plan", "Read back the plan"),
        (bare(eye=None), "plan", "Plan: 1 entry missing"),
        (bare(eye="x"), "plan", "Plan: 1 entry to correct"),
        (bare(readbacks=sample()["readbacks"]), "theatre", "Theatre: first reading"),
        (bare(readbacks=sample()["readbacks"], readings=sample()["readings"]), "theatre",
         "Theatre: 2 readings taken"),
        (bare(readbacks=sample()["readbacks"], decisions=sample()["decisions"]), "theatre",
         "Theatre: cut, flange and bury"),
        (changed("surgery_on", None), "follow_up", "Enter the date of surgery"),
        (changed("follow_ups", []), "follow_up", "Month 1 due 2026-06-11"),
    ],
)
def test_stage_and_what_is_due(case: Case, stage: str, due: str) -> None:
    found = check(case)
    assert (found["stage"], found["due"]) == (stage, due)


def test_a_late_visit_is_called_overdue() -> None:
    found = check(changed("follow_ups", []), today="2026-07-05")
    assert found["due"] == "Month 1 overdue since 2026-06-11"


def test_without_a_date_the_clock_is_asked() -> None:
    assert answer("check_case", {"case": sample()})["value"]["stage"] == "follow_up"


@pytest.mark.parametrize("today", ["20.6.2026", "2026-13-01", 20260620])
def test_a_date_that_is_none_is_refused(today: Any) -> None:
    with pytest.raises(OutOfRange, match="today must be a date"):
        check(sample(), today=today)


def pair(**measurements: float) -> tuple[Case, Case]:
    person = new_code()
    fellow = {**sample(), "code": OTHER_CODE, "eye": "right", "person": person}
    fellow["measurements"] = {**fellow["measurements"], **measurements}
    return {**sample(), "person": person}, fellow


# Limits of 0.3 mm and 1 D: Holladay JT et al., J Cataract Refract Surg 1988;14:17-24
# (values from memory). The sample eye measures 23.10 mm and 42.50/44.00 D, mean 43.25 D.
@pytest.mark.parametrize(
    ("measurements", "expected"),
    [
        ({}, []),
        ({"axial_length_mm": 23.39}, []),
        ({"axial_length_mm": 23.42}, ["measurements.axial_length_mm"]),
        ({"axial_length_mm": 22.7}, ["measurements.axial_length_mm"]),
        ({"k1_d": 43.4, "k2_d": 45.0}, []),
        ({"k1_d": 43.6, "k2_d": 45.0}, ["measurements.k1_d"]),
        ({"axial_length_mm": 24.0, "k1_d": 40.0, "k2_d": 41.0},
         ["measurements.axial_length_mm", "measurements.k1_d"]),
    ],
)
def test_eyes_that_differ_are_asked_about(measurements: dict[str, float], expected: list[str]) -> None:
    case, fellow = pair(**measurements)
    found = check(case, fellow=fellow)["findings"]
    assert [finding["path"] for finding in found] == expected
    assert {finding["severity"] for finding in found} <= {"unusual"}


def test_radii_are_compared_as_powers() -> None:
    case, fellow = pair()
    fellow["measurements"] |= {"k_unit": "mm", "r1_mm": 337.5 / 43.6, "r2_mm": 337.5 / 45.0, "k1_d": None,
        "k2_d": None}
    assert [found["code"] for found in check(case,
        fellow=fellow)["findings"]] == ["eyes_differ_in_corneal_power"]


def test_an_eye_that_is_not_measured_yet_is_not_compared() -> None:
    case, fellow = pair()
    fellow["measurements"]["axial_length_mm"] = None
    assert check(case, fellow=fellow)["findings"] == []


def test_the_same_eye_twice_and_two_persons_are_impossible() -> None:
    case, fellow = pair()
    same = {**fellow, "eye": case["eye"], "person": new_code()}
    found = check(case, fellow=same)["findings"]
    assert {finding["code"] for finding in found} == {"same_eye_twice", "not_one_person"}
    assert {finding["severity"] for finding in found} == {"impossible"}


def test_the_worst_comes_first_also_across_two_eyes() -> None:
    case, fellow = pair(axial_length_mm=25.0)
    found = check(changed("lens.a", "x", case), fellow=fellow)["findings"]
    assert [finding["severity"] for finding in found][:2] == ["impossible", "unusual"]


@pytest.mark.parametrize(("case", "kind"), [({**sample(), "schema": 9}, NewerRecord), ({}, RecordError)])
def test_what_cannot_be_restored_is_a_named_error(case: Case, kind: type[GuylineError]) -> None:
    with pytest.raises(kind):
        check(case)


def test_the_door_answers_for_damaged_records() -> None:
    damages: tuple[Any, ...] = (math.pi * 1e300, [], {"x": {"y": [None]}}, "\u0000", True)
    for damage in damages:
        for key in sample():
            if key != "schema":
                request = {"id": 1, "operation": "check_case", "payload": {"case": {**sample(), key: damage}}}
                assert "value" in json.loads(handle(json.dumps(request))), (key, damage)
