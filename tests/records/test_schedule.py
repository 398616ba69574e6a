"""Planned visits: due, late, done, missed; and the stage of an eye."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from pycore.records.case import Case
from pycore.records.finding import Today
from pycore.records.schedule import due_visits, next_due, slot_of
from pycore.records.stage import stage
from tests.records.sample import entry, sample, visit

SURGERY = date(2026, 5, 12)


def seen_on(*days: int) -> Case:
    visits = [visit(f"v{day}", (SURGERY + timedelta(days=day)).isoformat()) for day in days]
    return {**sample(), "follow_ups": visits}


def states(case: Case, day: int) -> dict[str, str]:
    return {due.slot.label: due.state for due in due_visits(case, Today.on(SURGERY + timedelta(days=day)))}


def test_the_visits_of_the_first_year_and_the_next_yearly_one_are_listed() -> None:
    assert list(states(seen_on(), 0)) == ["Day 1", "Week 1", "Month 1", "Month 3", "Month 6", "Month 12",
                                          "Year 2: flanges"]


def test_the_days_on_which_they_are_due() -> None:
    due = due_visits(seen_on(), Today.on(SURGERY))
    assert [item.on for item in due[:3]] == ["2026-05-13", "2026-05-19", "2026-06-11"]


@pytest.mark.parametrize(
    ("day", "state"),
    [(27, "later"), (28, "due"), (44, "due"), (45, "late"), (60, "late"), (61, "missed")],
)
def test_month_one_by_the_day(day: int, state: str) -> None:
    assert states(seen_on(1, 7), day)["Month 1"] == state


@pytest.mark.parametrize(("day", "done"), [(27, False), (28, True), (60, True), (61, False)])
def test_a_visit_counts_as_month_one_from_day_28_to_day_60(day: int, done: bool) -> None:
    assert (states(seen_on(day), 400)["Month 1"] == "done") is done


def test_a_withdrawn_visit_keeps_no_appointment() -> None:
    case = seen_on(30)
    case["follow_ups"][0]["withdrawn"] = {"at": "2026-06-12T08:00:00Z", "reason": "other eye"}
    assert states(case, 31)["Month 1"] == "due"


def test_every_day_after_surgery_belongs_to_one_planned_visit() -> None:
    labels = [found.label for day in range(9000) if (found := slot_of(day)) is not None]
    assert len(labels) == 9000
    assert slot_of(-1) is None


#: Planned visit, first and last day that keep it, day due, days of grace.
PLANNED = [
    ("Day 1", 0, 3, 1, 1), ("Week 1", 4, 27, 7, 4), ("Month 1", 28, 60, 30, 14),
    ("Month 3", 61, 136, 91, 21), ("Month 6", 137, 273, 182, 30), ("Month 12", 274, 547, 365, 60),
    ("Year 2: flanges", 548, 912, 730, 60), ("Year 3: flanges", 913, 1277, 1095, 60),
]


@pytest.mark.parametrize(("label", "opens", "closes", "due", "grace"), PLANNED)
def test_each_planned_visit_by_the_day(label: str, opens: int, closes: int, due: int, grace: int) -> None:
    assert [found.label if (found := slot_of(day)) else None for day in (opens, due, closes)] == [label] * 3
    never = seen_on()
    expected = {opens - 1: "later", opens: "due", due + grace: "due", due + grace + 1: "late", closes: "late",
                closes + 1: "missed"}
    assert {day: states(never, day)[label] for day in expected} == expected
    on = next(item.on for item in due_visits(never,
        Today.on(SURGERY + timedelta(days=due))) if item.slot.label == label)
    assert date.fromisoformat(on) - SURGERY == timedelta(days=due)


def test_what_is_late_comes_before_what_is_due() -> None:
    due = next_due(due_visits(seen_on(1), Today.on(SURGERY + timedelta(days=14))))
    assert due is not None
    assert (due.slot.label, due.state) == ("Week 1", "late")


def test_the_yearly_look_at_the_flanges_goes_on() -> None:
    later = states(seen_on(1, 7, 30, 91, 182, 365, 730), 1000)
    assert later["Year 2: flanges"] == "done"
    assert later["Year 3: flanges"] == "due"


def test_nothing_is_due_without_a_date_of_surgery() -> None:
    assert due_visits({**sample(), "surgery_on": None}, Today.on(SURGERY)) == []


BARE: Case = {"surgery_on": None} | {
    key: [] for key in ("readbacks", "haptic_log", "follow_ups", "decisions", "readings")
}
READ_BACK = {**BARE, "readbacks": sample()["readbacks"]}
BURIED_A = entry("y", 30, "a", "bury", 0.3)
BURIED_B = entry("z", 31, "b", "bury", 0.3)
DUG_OUT = entry("x", 32, "b", "pull", 2, corrects="z")


@pytest.mark.parametrize(
    ("parts", "expected"),
    [
        (BARE, "plan"),
        ({**BARE, "readbacks": [{**sample()["readbacks"][0], "kind": "cut"}]}, "plan"),
        (READ_BACK, "theatre"),
        ({**READ_BACK, "decisions": sample()["decisions"]}, "theatre"),
        ({**READ_BACK, "haptic_log": [BURIED_A]}, "theatre"),
        ({**READ_BACK, "haptic_log": [BURIED_A, BURIED_B]}, "follow_up"),
        ({**READ_BACK, "haptic_log": [BURIED_A, BURIED_B, DUG_OUT]}, "theatre"),
        ({**READ_BACK, "surgery_on": "2026-05-12"}, "follow_up"),
        ({**READ_BACK, "surgery_on": "2026-05-13"}, "theatre"),
        ({**BARE, "surgery_on": "2026-05-11"}, "follow_up"),
        ({**READ_BACK, "follow_ups": [visit("v", "2026-05-12")]}, "follow_up"),
    ],
)
def test_the_stage_of_an_eye(parts: Case, expected: str) -> None:
    assert stage({**sample(), **parts}, Today.on(SURGERY)) == expected
