"""Whatever JSON value is stored: the checks answer, and the sound copy is sound."""

from __future__ import annotations

import copy
import json
import math
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from pycore.fields import FIELDS
from pycore.records.case import CASE, Group, Node, Rows, Value, Words
from pycore.records.finding import SEVERITIES
from pycore.records.validate import validate
from tests.records.sample import TODAY, sample

SCALARS = (
    st.none() | st.booleans() | st.integers(-(10**30), 10**30) | st.floats() | st.text(max_size=20)
    | st.sampled_from(["2026-05-12", "2026-05-12T08:00:00Z", "a", "b", "plan", "cut", "melt"])
)
JSON = st.recursive(
    SCALARS,
    lambda inner: (
        st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4)
    ),
    max_leaves=12,
)


def paths(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Every place in a JSON value."""
    pairs = list(value.items()) if isinstance(value, dict) else []
    pairs += list(enumerate(value)) if isinstance(value, list) else []
    return [path, *(place for key, child in pairs for place in paths(child, (*path, key)))]


PLACES = [place for place in paths(sample()) if place]


def put(case: Any, place: tuple[Any, ...], value: Any) -> None:
    for key in place[:-1]:
        case = case[key]
    case[place[-1]] = value


def drop(case: Any, place: tuple[Any, ...]) -> None:
    for key in place[:-1]:
        case = case[key]
    del case[place[-1]]


def is_sound(node: Node, value: Any) -> bool:
    """Right kind, within possible limits, or absent."""
    if isinstance(node, Group):
        return (value is None and node.optional) or (
            set(value) == set(node.members) and all(is_sound(node.members[key], value[key]) for key in value)
        )
    if isinstance(node, Rows):
        return all(is_sound(node.row, row) for row in value)
    if isinstance(node, Words):
        return value is None or set(value) <= set(FIELDS[node.field].choices)
    if isinstance(node, Value):
        return is_sound_value(node.field, value)
    return value is None or isinstance(value, dict)


def is_sound_value(name: str, value: Any) -> bool:
    entry = FIELDS[name]
    if value is None:
        return True
    if entry.kind in ("number", "integer"):
        assert entry.lowest is not None and entry.highest is not None
        return math.isfinite(value) and entry.lowest <= value <= entry.highest
    if entry.kind == "choice":
        return value in entry.choices
    return isinstance(value, bool if entry.kind == "flag" else str)


def check(document: Any) -> None:
    before = copy.deepcopy(document)
    checked = validate(document, today=TODAY)
    assert repr(document) == repr(before)
    without_schema = {key: value for key, value in checked.sound.items() if key != "schema"}
    assert is_sound(CASE, without_schema)
    ranks = [SEVERITIES.index(found.severity) for found in checked.findings]
    assert ranks == sorted(ranks)
    assert len({(found.path, found.code) for found in checked.findings}) == len(ranks)
    json.dumps([found.as_dict() for found in checked.findings])


@given(JSON)
def test_any_json_value_is_answered(document: Any) -> None:
    check(document)


@given(st.sampled_from(PLACES), JSON)
def test_any_value_anywhere_in_a_record_is_answered(place: tuple[Any, ...], value: Any) -> None:
    case = sample()
    put(case, place, value)
    check(case)


@given(st.lists(st.tuples(st.sampled_from(PLACES), SCALARS), max_size=6))
def test_several_damages_at_once_are_answered(damages: list[tuple[tuple[Any, ...], Any]]) -> None:
    case: Any = sample()
    for place, value in damages:
        try:
            put(case, place, value)
        except (TypeError, KeyError, IndexError, AttributeError):
            continue
    check(case)


@given(st.sampled_from(PLACES))
def test_any_key_or_row_may_be_absent(place: tuple[Any, ...]) -> None:
    case = sample()
    drop(case, place)
    check(case)


@given(st.sampled_from(PLACES), JSON)
def test_a_sound_copy_has_no_faulty_values_left(place: tuple[Any, ...], value: Any) -> None:
    """Examining the sound copy again finds no value that cannot be."""
    case = sample()
    put(case, place, value)
    again = validate(validate(case, today=TODAY).sound, today=TODAY)
    kinds = {"wrong_type", "not_finite", "out_of_range", "wrong_unit", "unknown_choice", "wrong_code",
             "not_a_date", "unknown_key"}
    assert not kinds & {found.code for found in again.findings}
