"""A record stuffed with identifiers wherever anything can be put exports none of them."""

from __future__ import annotations

import base64
import io
import itertools
import json
import zipfile
from typing import Any

from pycore.api.boundary import answer
from pycore.fields import FIELDS
from pycore.records.case import CASE, Anything, Group, Node, Rows, Value
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
