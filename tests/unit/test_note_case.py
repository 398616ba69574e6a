"""The operation note and the follow-up card: everything that was done, nobody named."""

from __future__ import annotations

import re
from typing import Any

import pytest

from pycore.api.boundary import answer
from pycore.records.case import CASE
from tests.exchange.test_anonymise import SECRET, with_secrets
from tests.records.sample import OTHER_CODE, changed, sample

Case = dict[str, Any]


def texts(case: Case, **given: Any) -> dict[str, str]:
    value: dict[str, str] = answer("note_case", {"case": case, "today": "2026-06-20", **given})["value"]
    return value


@pytest.mark.parametrize("words", [
    "Left eye; three-piece lens, +22.0 D", "Indication: trauma", "Target −0.50 D; base formula SRK/T",
    "Plan: read back by two people", "Cut: no read-back recorded", "1. −0.75 D by aberrometer",
    "outside now 3.0 mm, measured", "IOP 18 mmHg", "1.7 mm to the original tips",
    "Expected: −0.40 D (80 %: −0.85 D to +0.05 D), from 2 readings", "cut 1.0 mm; melted 1.0 mm; buried 0.3 mm",
])
def test_the_note_tells_what_was_done(words: str) -> None:
    assert words in texts(sample())["operation_note"]


@pytest.mark.parametrize("words", [
    "Left eye; three-piece lens, +22.0 D", "expected about one month after surgery: −0.40 D", "Day 1 (day 1)",
    "once a year: both flanges", "do not act on it", "IOP under 8 or over 30 mmHg", "Optic behind the iris",
])
def test_the_card_tells_when_to_look_and_at_what(words: str) -> None:
    assert words.lower() in texts(sample())["follow_up_card"].lower()


def test_nothing_that_identifies_stands_in_either() -> None:
    case = {**sample(), "person": OTHER_CODE}
    case["readbacks"][0]["values"] = {"Eye": SECRET}
    case["readings"][1]["withdrawn"] = {"at": "2026-05-12T09:00:00Z", "reason": SECRET}
    marked = with_secrets(CASE, case)
    found = "".join(texts(marked).values())
    for word in (SECRET, case["code"], OTHER_CODE):
        assert word not in found
    assert not re.search(r"\d{4}-\d\d", found)


def test_dates_stand_only_where_they_are_asked_for() -> None:
    found = texts(sample(), dates=True)
    assert "Date of surgery: 2026-05-12" in found["operation_note"]
    assert "Month 1 (day 30): 2026-06-11" in found["follow_up_card"]


def test_a_cut_that_was_not_read_back_is_called_so() -> None:
    row = {"id": "c", "at": "2026-05-12T08:19:00Z", "kind": "cut", "values": {}, "by_two": False}
    case = {**sample(), "readbacks": [*sample()["readbacks"], row]}
    assert "Cut: NOT read back" in texts(case)["operation_note"]


def test_what_departs_from_the_decision_is_said() -> None:
    case = changed("haptic_log.2.length_mm", 2.0, changed("haptic_log.3.length_mm", 2.0))
    assert "The log leaves 2.7 mm outside, 1.7 mm was decided" in texts(case)["operation_note"]


def test_a_withdrawn_reading_is_marked() -> None:
    case = changed("readings.1.withdrawn", {"at": "2026-05-12T08:12:00Z", "reason": "bubble"})
    note = texts(case)["operation_note"]
    assert "WITHDRAWN, not used" in note
    assert "Readings withdrawn: 1" in note


def test_the_card_fits_one_page() -> None:
    """Sixty lines of a hundred and ten characters fit a page at ten points."""
    lines = texts(sample(), dates=True)["follow_up_card"].splitlines()
    assert len(lines) <= 60
    assert max(map(len, lines)) <= 110
