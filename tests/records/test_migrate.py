"""Restoring stored records: the only way back in."""

from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any

import pytest

from pycore.errors import NewerRecord, RecordError
from pycore.records.case import CASE, SCHEMA
from pycore.records.migrate import STEPS, restore
from pycore.records.validate import examine
from tests.records.sample import sample


def test_a_current_record_comes_back_unchanged() -> None:
    assert restore(sample()) == sample()


def test_absent_and_null_sections_come_back_empty() -> None:
    case = restore({"schema": 1, "plan": None, "history": {"sex": "female"}})
    assert set(case) == set(CASE.members) | {"schema"}
    assert case["plan"]["target_d"] is None
    assert case["history"]["sex"] == "female"
    assert case["history"]["age_years"] is None
    assert case["readings"] == []


def test_unknown_keys_and_faulty_values_are_kept() -> None:
    stored = {**sample(), "note": "x", "eye": 7, "lens": {"maker": "y"}, "readings": "none"}
    case = restore(stored)
    assert (case["note"], case["eye"], case["readings"]) == ("x", 7, "none")
    assert case["lens"]["maker"] == "y"


def test_the_stored_record_is_not_changed() -> None:
    stored = {"schema": 1, "plan": {"target_d": -1}}
    before = copy.deepcopy(stored)
    restore(stored)
    assert stored == before


def test_a_newer_record_is_refused_by_name_and_says_what_to_do() -> None:
    with pytest.raises(NewerRecord, match="Update the app") as caught:
        restore({**sample(), "schema": SCHEMA + 1})
    assert caught.value.field == "schema"


@pytest.mark.parametrize("document", [None, [], "x", 3, {}, {"schema": None}, {"schema": "1"},
                                      {"schema": True}, {"schema": 0}, {"schema": -1}, {"schema": 1.0}])
def test_what_is_not_a_record_is_refused(document: Any) -> None:
    with pytest.raises(RecordError, match="backup"):
        restore(document)


def test_every_older_schema_has_a_step() -> None:
    assert set(STEPS) == set(range(1, SCHEMA))


def renamed(case: dict[str, Any]) -> dict[str, Any]:
    """An invented step, to try the machinery."""
    case["eye"] = case.pop("side")
    return case


def doubled(case: dict[str, Any]) -> dict[str, Any]:
    case["lens"]["lens_power_d"] *= 2
    return case


def test_steps_run_one_after_the_other_on_a_copy() -> None:
    old = {"schema": 1, "side": "left", "lens": {"lens_power_d": 10.0}}
    before = copy.deepcopy(old)
    new = restore(old, steps={1: renamed, 2: doubled}, current=3)
    assert (new["schema"], new["eye"], new["lens"]["lens_power_d"]) == (3, "left", 20.0)
    assert old == before


def test_a_gap_in_the_steps_is_named() -> None:
    with pytest.raises(RecordError, match="schema 1 cannot be read"):
        restore({"schema": 1}, steps={2: doubled}, current=3)


SAMPLES = Path(__file__).parent / "samples"


def test_a_kept_sample_of_every_schema_is_brought_up_to_this_one() -> None:
    samples = sorted(SAMPLES.glob("case-*.json"))
    assert [path.stem for path in samples] == [f"case-{version}" for version in range(1, SCHEMA + 1)]
    for path in samples:
        stored = json.loads(path.read_text())
        case = restore(stored)
        assert case["schema"] == SCHEMA
        assert [one["refraction_d"] for one in case["readings"]] == [one["refraction_d"] for one in stored["readings"]]
        assert examine(case).findings == examine(sample()).findings
