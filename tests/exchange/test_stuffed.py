"""A record stuffed with identifiers wherever anything can be put exports none of them."""

from __future__ import annotations

import base64
import io
import itertools
import json
import zipfile
from collections.abc import Iterator
from typing import Any

from pycore.api.boundary import answer
from pycore.fields import FIELDS
from pycore.records.case import CASE, Anything, Group, Node, Rows, Value
from pycore.records.codes import ALPHABET, FREE_CHARACTERS, complete
from tests.records.sample import OTHER_CODE, sample

NAME, NUMBER = "Mrs Example", "HN-1954-0815"
SECRET = f"=cmd {NAME} {NUMBER}"
TEXTS = ("text",)
COUNTER = itertools.count()


def stuffed(node: Node, value: Any) -> Any:
    """The record with an identifier in every place that takes text, and in keys nobody knows."""
    if isinstance(node, Anything):
        return {SECRET: SECRET}
    if isinstance(node, Group):
        if not isinstance(value, dict):
            return {key: stuffed(member, None) for key, member in node.members.items()} if node.optional else value
        return {**{key: stuffed(member, value.get(key)) for key, member in node.members.items()}, "note": SECRET}
    if isinstance(node, Rows):
        return [{**stuffed(node.row, row), "id": f"{SECRET} {next(COUNTER)}", "withdrawn": None} if "id" in node.row.members
                else stuffed(node.row, row) for row in value or []]
    if isinstance(node, Value) and FIELDS[node.field].kind in TEXTS and node.field != "corrects":
        return SECRET
    return value


def test_no_identifier_is_in_any_file() -> None:
    case = {"schema": 1, **stuffed(CASE, {**sample(), "person": OTHER_CODE}), "hospital_number": NUMBER}
    case["imported"] = {"at": "2026-06-19T10:00:00Z", "fingerprint": SECRET}
    case["lost_to_follow_up"] = None
    case["not_learned"] = None
    value = answer("export_csv", {"cases": [case], "today": "2026-06-20", "age_band_years": 1})["value"]
    assert value["rows"] == 1, value["left_out"]
    packed = zipfile.ZipFile(io.BytesIO(base64.b64decode(value["archive"]["base64"])))
    texts = [json.dumps(value["files"]), *(packed.read(name).decode() for name in packed.namelist())]
    for text in texts:
        for secret in (NAME, NUMBER, "Example", "0815", "cmd", case["code"], OTHER_CODE, "2026-0"):
            assert secret not in text, secret


def places(value: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Every place of a record that holds a value, groups and rows included."""
    if path:
        yield path
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, one in inner:
        yield from places(one, (*path, key))


def with_secret(case: dict[str, Any], path: tuple[Any, ...], number: int) -> dict[str, Any]:
    made = json.loads(json.dumps(case))
    at = made
    for key in path[:-1]:
        at = at[key]
    at[path[-1]] = f"{SECRET} {number}"
    return {**made, "code": made["code"] if path == ("code",) else fresh(number)}


def fresh(number: int) -> str:
    digits = [ALPHABET[number // 23**power % 23] for power in range(FREE_CHARACTERS)]
    return complete("".join(digits))


def test_an_identifier_in_any_single_place_is_refused_or_left_behind() -> None:
    """One record for each place; what is no text there makes the record impossible, so it stays at home."""
    whole = {**sample(), "person": OTHER_CODE,
             "not_learned": {"at": "2026-06-10T10:00:00Z", "reason": "a"},
             "lost_to_follow_up": {"on": "2026-06-19", "reason": "moved"}}
    whole["readings"][0]["withdrawn"] = {"at": "2026-05-12T20:00:00Z", "reason": "a"}
    cases = [with_secret(whole, path, number) for number, path in enumerate(places(whole))]
    found = answer("export_part", {"cases": cases, "today": "2026-06-20"})["value"]
    assert len(found["parts"]) + len(found["left_out"]) == len(cases)
    assert len(found["parts"]) >= 10
    assert len(found["left_out"]) >= 100
    value = answer("export_files", {"parts": found["parts"], "age_band_years": 1, "year_band_years": 1})["value"]
    text = json.dumps(value["files"])
    for secret in (NAME, NUMBER, "Example", "0815", "cmd", OTHER_CODE, fresh(1)):
        assert secret not in text, secret
