"""The record's table: its keys, its glossary fields, the empty record."""

from __future__ import annotations

from collections.abc import Iterator

from pycore.fields import FIELDS
from pycore.records.case import CASE, Group, Node, Rows, Value, Words, current_log, empty_case, standing
from pycore.records.migrate import restore
from tests.records.sample import CODE, entry, findings, reading, sample

#: Ending of a key and the unit that its field must have.
UNITS = {"_mm": "mm", "_d": "D", "_deg": "°", "_mmhg": "mmHg", "_years": "years", "_logmar": "logMAR"}


def leaves(node: Node, path: str = "") -> Iterator[tuple[str, str]]:
    """Key and glossary field of every value."""
    if isinstance(node, Value | Words):
        yield path.rsplit(".", 1)[-1], node.field
    for key, member in getattr(getattr(node, "row", node), "members", {}).items():
        yield from leaves(member, f"{path}.{key}")


def test_every_value_has_a_glossary_field() -> None:
    found = list(leaves(CASE))
    assert len(found) > 80
    assert all(field in FIELDS for _, field in found)


def test_the_unit_in_a_key_is_the_unit_of_its_field() -> None:
    for key, field in leaves(CASE):
        unit = next((unit for end, unit in UNITS.items() if key.endswith(end)), None)
        if unit is not None and FIELDS[field].kind == "number":
            assert FIELDS[field].unit == unit, key


def test_the_sample_has_exactly_the_keys_of_the_table() -> None:
    case = sample()
    assert set(case) == set(CASE.members) | {"schema"}
    for key, node in CASE.members.items():
        if isinstance(node, Group) and not node.optional:
            assert set(case[key]) == set(node.members), key
        if isinstance(node, Rows):
            assert all(set(row) == set(node.row.members) for row in case[key]), key


def test_an_empty_record_is_complete_and_only_lacks_entries() -> None:
    case = empty_case(code=CODE, created_at="2026-05-11T16:00:00Z")
    assert case["eye"] is None
    assert restore(case) == case
    assert {found.severity for found in findings(case)} == {"missing"}


def test_withdrawn_rows_do_not_stand() -> None:
    withdrawn = reading("r2", 9, 2.0, withdrawn={"at": "2026-05-12T08:10:00Z", "reason": "bubble"})
    case = {**sample(), "readings": [reading("r1", 5, 2.0), withdrawn, reading("r3", 12, 2.0)]}
    assert [row["id"] for row in standing(case, "readings")] == ["r1", "r3"]


def test_a_corrected_log_entry_gives_way_to_its_correction() -> None:
    log = [entry("1", 5, "a", "cut", 2.0), entry("2", 6, "a", "cut", 1.0, corrects="1"),
           entry("3", 7, "a", "cut", 1.5, corrects="2")]
    assert [row["id"] for row in current_log({**sample(), "haptic_log": log})] == ["3"]


def test_a_correction_happened_when_the_entry_it_corrects_did() -> None:
    log = [entry("1", 5, "a", "cut", 2.0), entry("2", 6, "a", "melt", 1.0),
           entry("3", 7, "a", "cut", 1.5, corrects="1"), entry("4", 8, "a", "cut", 1.0, corrects="3")]
    case = {**sample(), "haptic_log": log}
    assert [(row["id"], row["at"]) for row in current_log(case)] == [
        ("2", log[1]["at"]), ("4", log[0]["at"]),
    ]
