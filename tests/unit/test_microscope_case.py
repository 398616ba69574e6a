"""The drawing of a stored plan: what it needs, what it says, what an entry would meet."""

from __future__ import annotations

from typing import Any

from tests.unit.test_case_answers import ask, eye


def planned(**plan: Any) -> dict[str, Any]:
    case = eye()
    case["plan"] |= {"seat": "superior", **plan}
    return case


def with_marks(case: dict[str, Any], *marks: tuple[str, str], withdrawn: Any = None) -> dict[str, Any]:
    rows = [{"id": f"m{n}", "at": "2026-11-20T08:10:00Z", "mark": mark, "at_clock": clock, "withdrawn": withdrawn}
            for n, (mark, clock) in enumerate(marks)]  # fmt: skip
    return {**case, "marks": rows}


def test_it_asks_for_what_it_needs_and_draws_nothing_by_guess() -> None:
    found = ask("microscope_case", planned(seat=None, meridian_deg=None))
    assert [item["path"] for item in found["missing"]] == ["plan.meridian_deg", "plan.seat"]
    assert found["drawing"] is None


def test_the_title_names_the_eye_and_the_seat() -> None:
    found = ask("microscope_case", planned())
    assert found["drawing"]["title"] == "Left eye, seen from the seat: Superior (12 o'clock)"
    assert [entry["clock"] for entry in found["drawing"]["entries"]] == ["2:30", "8:30"]
    assert len(found["drawing"]["words"]) == 3


def test_limbal_diameters_that_are_missing_are_said_to_be_usual_ones() -> None:
    case = planned()
    case["measurements"] |= {"limbus_vertical_mm": None}
    words = " ".join(ask("microscope_case", case)["drawing"]["words"])
    assert "not entered: drawn with a usual 11.8 by 10.8 mm" in words


def test_a_mark_that_an_entry_would_meet_is_warned_of_and_a_withdrawn_one_is_gone() -> None:
    """Entries at 2:30 and 8:30: a bleb at 2 o'clock is half an hour away, a port at 6 is clear."""
    case = with_marks(planned(), ("bleb", "2"), ("port", "6"))
    found = ask("microscope_case", case)
    assert [mark["text"] for mark in found["marks"]] == ["Bleb at 2 o'clock", "Port at 6 o'clock"]
    assert [c["code"] for c in found["cautions"]] == ["entry_meets_mark"]
    assert "The entry at 2:30" in found["cautions"][0]["message"]
    gone = with_marks(planned(), ("bleb", "2"), withdrawn={"at": "2026-11-20T08:20:00Z", "reason": "wrong"})
    assert ask("microscope_case", gone)["marks"] == []


def test_marks_are_listed_before_the_meridian_is_known() -> None:
    found = ask("microscope_case", with_marks(planned(meridian_deg=None), ("tube", "1:30")))
    assert found["marks"][0]["at"] is None
    assert found["cautions"] == []
