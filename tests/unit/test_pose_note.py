"""Unequal haptics and entries in theatre: where they would put the optic, as the geometric part only."""

from __future__ import annotations

from typing import Any

import pytest

from tests.unit.test_case_answers import ask, eye, logged, read_back, reading


def theatre(*, entries: tuple[float, float] = (2.0, 2.0), lengths: tuple[float, float] = (2.5, 2.5)) -> str | None:
    """The caution about unequal sides, if there is one, with both haptics measured."""
    case: dict[str, Any] = eye()
    case["plan"].update(entry_a_mm=entries[0], entry_b_mm=entries[1])
    case = read_back(case)
    case["readings"] = [reading(0, 2.5, -0.6), reading(1, 1.0, -0.1)]
    case["haptic_log"] = [logged(2, "a", "measure", lengths[0]), logged(3, "b", "measure", lengths[1])]
    cautions = {one["code"]: one["message"] for one in ask("theatre_case", case)["cautions"]}
    return cautions.get("sides_unequal")


@pytest.mark.parametrize("lengths", [(2.5, 2.5), (2.5, 2.0), (2.0, 2.5)])
def test_half_a_millimetre_of_haptic_is_not_worth_a_word(lengths: tuple[float, float]) -> None:
    assert theatre(lengths=lengths) is None


@pytest.mark.parametrize(("lengths", "clock"), [((3.0, 2.0), "2:30"), ((2.0, 3.0), "8:30")])
def test_a_haptic_drawn_out_further_pulls_the_optic_toward_it(lengths: tuple[float, float], clock: str) -> None:
    message = theatre(lengths=lengths)
    assert message is not None
    assert f"0.50 mm toward {clock}" in message
    assert "tilted" not in message
    assert "geometric part only" in message and "reflex decides" in message


@pytest.mark.parametrize(("entries", "clock"), [((2.5, 2.0), "2:30"), ((2.0, 2.5), "8:30")])
def test_unequal_entries_shift_and_tilt(entries: tuple[float, float], clock: str) -> None:
    """0.2 mm and 1.2 degrees for half a millimetre, computed elsewhere on the same sphere."""
    message = theatre(entries=entries)
    assert message is not None
    assert f"toward {clock}, tilted 1.2°" in message


def test_lengths_measured_apart_say_nothing_about_the_optic() -> None:
    case = read_back(eye())
    case["readings"] = [reading(0, 2.5, -0.6), reading(1, 1.0, -0.1)]
    case["haptic_log"] = [logged(2, "a", "measure", 3.0)]
    codes = {one["code"] for one in ask("theatre_case", case)["cautions"]}
    assert "sides_unequal" not in codes


def test_the_plan_says_what_unequal_entries_would_do() -> None:
    case = eye()
    case["plan"].update(entry_a_mm=2.0, entry_b_mm=2.5)
    plan = ask("plan_case", case)
    message = next(one["message"] for one in plan["cautions"] if one["code"] == "entries_not_symmetric")
    assert "tilted 1.2 degrees with the edge at 8:30 back" in message
    assert "geometric part only" in message
    assert plan["entries"]["pose"]["tilt_deg"] == pytest.approx(1.2, abs=0.05)
