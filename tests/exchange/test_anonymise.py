"""What must not survive: the identifiers of 45 CFR 164.514(b)(2)(i) that a record could hold."""

from __future__ import annotations

import json
import re
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pycore.exchange.anonymise import anonymised, fresh_identity
from pycore.records.case import CASE, Group, Node, Rows, Value
from pycore.records.codes import is_code
from pycore.records.validate import validate
from tests.records.sample import OTHER_CODE, TODAY, changed, sample

SECRET = "Mrs Example 1954"


def sound(case: dict[str, Any]) -> dict[str, Any]:
    return validate(case, today=TODAY).sound


def with_secrets(node: Node, value: Any) -> Any:
    """The record with a tell-tale in every text, code and row name."""
    if isinstance(node, Group) and isinstance(value, dict):
        return {key: with_secrets(node.members[key], value[key]) if key in node.members else value[key]
                for key in value}
    if isinstance(node, Rows):
        return [with_secrets(node.row, row) for row in value]
    if isinstance(node, Value) and node.field in ("lens_name", "id", "reason", "corrects", "build_id",
        "core_version"):
        return SECRET
    return value


def test_no_text_code_or_name_survives() -> None:
    case = {**sample(), "person": OTHER_CODE}
    case["readbacks"][0]["values"] = {"Eye": SECRET}
    case["readings"][1]["withdrawn"] = {"at": "2026-05-12T09:00:00Z", "reason": SECRET}
    left = json.dumps(anonymised(sound(with_secrets(CASE, case))))
    assert SECRET not in left
    assert case["code"] not in left
    assert OTHER_CODE not in left


def test_no_date_survives_not_even_the_year() -> None:
    left = json.dumps(anonymised(sound(sample())))
    assert not re.search(r"\d{4}-\d\d|20\d\d", left)


def test_visits_keep_their_days_after_surgery() -> None:
    assert [row["days_after"] for row in anonymised(sound(sample()))["follow_ups"]] == [1, 30]


@given(st.integers(0, 3000), st.integers(0, 3000))
def test_only_the_distance_of_dates_can_be_seen(shift: int, days: int) -> None:
    """The same eye operated on another day gives the same anonymised record."""
    start = date(2010, 1, 1) + timedelta(days=shift)
    moved = changed("follow_ups.1.on", (start + timedelta(days=days)).isoformat())
    moved["surgery_on"] = start.isoformat()
    moved["follow_ups"] = moved["follow_ups"][1:]
    assert anonymised(sound(moved))["follow_ups"][0]["days_after"] == days


@pytest.mark.parametrize(("age", "kept"), [(None, None), (0, 0), (89, 89), (89.5, 90), (90, 90), (104, 90)])
def test_ages_over_89_are_one_group(age: float | None, kept: float | None) -> None:
    assert anonymised(sound(changed("history.age_years", age)))["history"]["age_years"] == kept


@pytest.mark.parametrize(
    ("version", "kept"),
    [("0.1.0", "0.1.0"), ("1.12", "1.12"), ("=1.2", None), ("1.2 Mrs", None), (None, None), ("1954", None)],
)
def test_the_version_is_kept_only_if_it_is_nothing_else(version: str | None, kept: str | None) -> None:
    assert anonymised(sound(changed("decisions.0.core_version",
        version)))["decisions"][0]["core_version"] == kept


def test_numbers_and_words_are_kept_as_they_are() -> None:
    case, left = sound(sample()), anonymised(sound(sample()))
    assert left["measurements"] == case["measurements"]
    assert left["plan"] == case["plan"]
    assert left["eye"] == "left"
    assert left["readings"][0]["refraction_d"] == -0.75
    assert left["follow_ups"][1]["complications"] == []


def test_identities_are_random_and_never_look_like_a_case_code() -> None:
    drawn = {fresh_identity("E") for _ in range(500)}
    assert len(drawn) == 500
    assert not any(is_code(identity) for identity in drawn)
    assert all(re.fullmatch(r"E-[0-9A-Z]{10}", identity) for identity in drawn)
