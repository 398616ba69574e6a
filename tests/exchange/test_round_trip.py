"""Export, import, export: what may be carried comes back, to the digit."""

from __future__ import annotations

import base64
import csv
import io
import random
from typing import Any

import pytest

from pycore.api.boundary import answer
from pycore.errors import GuylineError
from pycore.records.codes import new_code
from tests.generators_cases import stored_eye
from tests.records.sample import TODAY, sample

NOW = "2026-11-20T12:00:00Z"
Case = dict[str, Any]


def exported(cases: list[Case], **options: Any) -> Case:
    value: Case = answer("export_csv", {"cases": cases, "today": "2026-11-20", **options})["value"]
    return value


def back(value: Case, **state: Any) -> Case:
    """The archive through import, in pieces of two eyes."""
    opened = answer("import_archive", {"bytes_base64": value["archive"]["base64"]})["value"]
    carried: Case = {"persons": {}, "prints": {}}
    made: Case = {"cases": [], "rejected": []}
    for start in range(0, len(opened["parts"]), 2):
        piece = answer("import_parts", {
            "headers": opened["headers"], "parts": opened["parts"][start:start + 2], "now": NOW,
            "decimal_mark": opened["decimal_mark"], "today": "2026-11-20", "first_row": start + 2,
            **carried, **state})["value"]
        carried = {key: piece[key] for key in carried}
        made = {key: made[key] + piece[key] for key in made}
    return made


def compared(value: Case) -> dict[str, list[tuple[str, ...]]]:
    """All tables, lines without identities and the mark of import, in an order of their own.

    Nor the stage: a read-back is never carried over, so an eye that was in theatre is planned anew.
    """
    made = {}
    for file in value["files"]:
        name = file["name"].split("-", 3)[3]
        rows = list(csv.reader(io.StringIO(file["text"])))
        drop = {place for place, title in enumerate(rows[0]) if title in ("eye_id", "person_id", "imported", "stage")}
        made[name] = sorted(tuple(cell for place, cell in enumerate(row) if place not in drop) for row in rows[1:])
    return {name: rows for name, rows in made.items() if "codebook" not in name and name.endswith(".csv")}


@pytest.fixture(scope="module")
def eyes() -> list[Case]:
    source = random.Random(11)
    made = [{**stored_eye(source), "code": new_code()} for _ in range(60)]
    both = new_code()
    pair = [{**sample(), "code": new_code(), "person": both, "eye": eye} for eye in ("right", "left")]
    sound = [case for case in [*made, *pair] if exported([case])["rows"]]
    assert len(sound) > 30
    return sound


@pytest.mark.parametrize("variant", ["point", "comma"])
def test_nothing_that_may_be_carried_is_lost(eyes: list[Case], variant: str) -> None:
    finest = {"age_band_years": 1, "year_band_years": 1, "variant": variant}
    out = exported(eyes, **finest)
    found = back(out)
    assert found["rejected"] == []
    assert len(found["cases"]) == len(eyes)
    again = exported(found["cases"], **{**finest, "variant": "point"})
    assert compared(again) == compared(exported(eyes, **{**finest, "variant": "point"}))


def test_bands_come_back_as_bands_never_as_ages(eyes: list[Case]) -> None:
    coarse = {"age_band_years": 10, "year_band_years": 5}
    found = back(exported(eyes, **coarse))["cases"]
    assert all(case["history"]["age_years"] is None for case in found)
    assert compared(exported(found, **coarse)) == compared(exported(eyes, **coarse))


def test_two_eyes_of_one_person_stay_together(eyes: list[Case]) -> None:
    found = back(exported(eyes[-2:]))["cases"]
    assert found[0]["person"] == found[1]["person"] != eyes[-1]["person"]
    assert {case["eye"] for case in found} == {"left", "right"}


def test_imported_eyes_are_marked_sound_and_new(eyes: list[Case]) -> None:
    from pycore.records.migrate import restore
    from pycore.records.validate import validate

    found = back(exported(eyes))["cases"]
    assert all(case["imported"]["at"] == NOW and case["imported"]["fingerprint"] for case in found)
    assert {case["code"] for case in found}.isdisjoint(case["code"] for case in eyes)
    assert not [one for case in found for one in validate(restore(case), today=TODAY).impossible
                if "future" not in one.message]


def test_a_second_import_adds_nothing(eyes: list[Case]) -> None:
    first = back(exported(eyes))
    known = answer("fingerprints", {"cases": first["cases"]})["value"]["fingerprints"]
    second = back(exported(eyes), known=known)
    assert second["cases"] == []
    assert len(second["rejected"]) == len(eyes)


def test_an_export_brought_back_to_its_own_phone_adds_nothing(eyes: list[Case]) -> None:
    known = answer("fingerprints", {"cases": eyes})["value"]["fingerprints"]
    assert back(exported(eyes), known=known)["cases"] == []


def test_imported_eyes_teach(eyes: list[Case]) -> None:
    taught = answer("learn", {"cases": eyes, "formula": "srkt"})["value"]
    found = back(exported(eyes, age_band_years=1, year_band_years=1))["cases"]
    again = answer("learn", {"cases": found, "formula": "srkt"})["value"]
    assert again["eyes"] == taught["eyes"] > 3
    assert sorted(one["reason"] for one in again["left_out"]) == sorted(one["reason"] for one in taught["left_out"])


def test_a_damaged_archive_is_refused_by_name_whatever_byte_is_wrong() -> None:
    whole = base64.b64decode(exported([sample()])["archive"]["base64"])
    codes = set()
    for place in range(0, len(whole), 61):
        damaged = bytearray(whole)
        damaged[place] ^= 0xFF
        try:
            answer("import_archive", {"bytes_base64": base64.b64encode(damaged).decode()})
        except GuylineError as error:
            codes.add(error.code)
    assert "file_damaged" in codes
