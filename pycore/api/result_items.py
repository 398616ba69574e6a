"""Reading the rows that ``result_rows`` gave, and sorting them into what counts and what does not.

The rows come back from the page as they were handed out. They are checked once, fast: every
number finite, every word a word, nothing unknown; a damaged row is a named error, never a figure.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from pycore.api.result_rows import Row, row_of
from pycore.api.schema import Item, flag, listing, mapping, optional, record, required, text
from pycore.errors import Inconsistent, MissingField, NotFinite, UnknownField, WrongType
from pycore.formulas import FORMULAS
from pycore.words import say

_NUMBERS: Final = (
    "target_d", "achieved_d", "planned_d", "decided_d", "untitrated_d", "outside_mm",
    "lens_power_d", "cylinder_d", "axis_deg", "days", "acuity_days",
)
_WORDS: Final = ("person", "eye", "surgery_on", "reason", "message")
_KEYS: Final = frozenset({*_NUMBERS, *_WORDS, "code", "demo", "state", "formulas", "acuity", "visits"})
_STATES: Final = ("counted", "waiting", "left_out")
#: No quantity of a row is larger.
_LARGEST: Final = 1e5
_FORMULA_NUMBERS: Final = 4
_ACUITIES: Final = frozenset({"udva", "cdva"})

RESULT_ITEMS: Final[tuple[Item, ...]] = (
    optional("rows", listing(mapping), about="What result_rows gave for the stored eyes."),
    optional("cases", listing(mapping), about="The stored eyes themselves, instead of rows."),
    optional("excluded", listing(record(required("code", text), optional("reason", text))), default=[],
             about="Eyes left out by hand, each with its reason."),
    optional("one_eye_per_person", flag, default=False,
             about="Only the eye operated first; the right one if both were on one day."),
    optional("demo", flag, default=False, about="Invented eyes only; they are never mixed with real ones."),
)


@dataclass(frozen=True, slots=True)
class LeftOut:
    """An eye that is in no figure of the refraction, and why."""

    code: str
    eye: str | None
    reason: str
    message: str


@dataclass(frozen=True, slots=True)
class Sorted:
    """Rows that count, rows for the acuity graphs, and everything that does not count."""

    counted: tuple[Row, ...]
    seen: tuple[Row, ...]
    waiting: tuple[LeftOut, ...]
    by_rule: tuple[LeftOut, ...]
    by_hand: tuple[LeftOut, ...]
    other_eyes: tuple[LeftOut, ...]
    records: int
    unknown: tuple[str, ...]


def rows_of(request: dict[str, Any]) -> list[Row]:
    """The rows of a request, checked, or made from its cases.

    Raises :class:`MissingField` for neither and :class:`Inconsistent` for both.
    """
    given, cases = request["rows"], request["cases"]
    if given is not None and cases is not None:
        raise Inconsistent("Give rows or cases, not both.", field="rows")
    if given is None and cases is None:
        raise MissingField("rows is missing. Give the rows of result_rows, or cases.", field="rows")
    if cases is not None:
        return [row_of(case) for case in cases]
    for index, row in enumerate(given or ()):
        if not _sound(row):
            _check(row, f"rows[{index}]")
    return list(given or ())


def person_of(row: Row) -> str:
    """Who the eye belongs to; an eye without a person's code is a person of its own."""
    return str(row["person"] or row["code"])


def sort_rows(rows: Sequence[Row], request: dict[str, Any]) -> Sorted:
    """What counts, after demo eyes, exclusions by hand and the rule of one eye a person."""
    by_hand = {one["code"]: one["reason"] or "Excluded by hand." for one in request["excluded"]}
    mine = [row for row in _once(rows) if row["demo"] == request["demo"]]
    kept = [row for row in mine if row["code"] not in by_hand]
    counted = [row for row in kept if row["state"] == "counted"]
    first = _first_eyes(counted) if request["one_eye_per_person"] else counted
    stay = {row["code"] for row in first}
    seen = [row for row in kept if row["acuity"]]
    return Sorted(
        counted=tuple(first),
        seen=tuple(_first_eyes(seen) if request["one_eye_per_person"] else seen),
        waiting=_left_out([row for row in kept if row["state"] == "waiting"]),
        by_rule=_left_out([row for row in kept if row["state"] == "left_out"]),
        by_hand=tuple(LeftOut(row["code"], row["eye"], "by_hand", by_hand[row["code"]])
                      for row in mine if row["code"] in by_hand),
        other_eyes=tuple(
            LeftOut(row["code"], row["eye"], "other_eye", "The other eye of this person counts.")
            for row in counted if row["code"] not in stay
        ),
        records=len(mine),
        unknown=tuple(sorted(set(by_hand) - {row["code"] for row in mine})),
    )


def _once(rows: Sequence[Row]) -> list[Row]:
    """Each code once; the first row counts."""
    return list({row["code"]: row for row in reversed(rows)}.values())[::-1]


def _left_out(rows: Sequence[Row]) -> tuple[LeftOut, ...]:
    return tuple(LeftOut(row["code"], row["eye"], row["reason"] or "", row["message"] or "") for row in rows)


def _first_eyes(rows: Sequence[Row]) -> list[Row]:
    """One eye a person: operated first, then the right one, then the first code."""
    chosen: dict[str, Row] = {}
    for row in sorted(rows, key=_turn):
        chosen.setdefault(person_of(row), row)
    codes = {row["code"] for row in chosen.values()}
    return [row for row in rows if row["code"] in codes]


def _turn(row: Row) -> tuple[str, bool, str]:
    return row["surgery_on"] or "9999", row["eye"] != "right", row["code"]


def _sound(row: Row) -> bool:
    """Whether a row is as ``result_rows`` gives it, in few looks: thousands are read at once."""
    if row.keys() != _KEYS or row["state"] not in _STATES:
        return False
    try:
        numbers = [value for key in _NUMBERS if (value := row[key]) is not None]
        for name, values in row["formulas"].items():
            if name not in FORMULAS or len(values) != _FORMULA_NUMBERS:
                return False
            numbers += values
        numbers += [value for value in row["acuity"].values() if value is not None]
        words = [row["code"], *(word for key in _WORDS if (word := row[key]) is not None)]
        for label, se_d in row["visits"]:
            words.append(label)
            numbers.append(se_d)
        plain = set(map(type, numbers)) <= {float, int} and set(map(type, words)) == {str}
        small = not numbers or (min(numbers) > -_LARGEST and max(numbers) < _LARGEST)
    except (TypeError, ValueError, AttributeError):
        return False
    return (plain and small and row["acuity"].keys() <= _ACUITIES and type(row["demo"]) is bool
            and (row["state"] != "counted" or row["achieved_d"] is not None))


def _check(row: Row, path: str) -> None:
    """Raise for anything that ``result_rows`` never gives, with the place named."""
    if row.keys() != _KEYS:
        odd = next(iter(sorted(map(str, row.keys() ^ _KEYS))))
        raise UnknownField(say(
            "{path}.{odd} does not belong to a row, or is missing.",
            path=path, odd=odd[:60],
        ), field=path)
    for key in _NUMBERS:
        _number(row[key], f"{path}.{key}")
    for key in _WORDS:
        _word(row[key], f"{path}.{key}", empty=True)
    _word(row["code"], f"{path}.code", empty=False)
    if row["state"] not in _STATES or not isinstance(row["demo"], bool):
        raise WrongType(say("{path} is no row of results. Make it again.", path=path), field=path)
    _nested(row, path)
    if row["state"] == "counted" and row["achieved_d"] is None:
        raise MissingField(say("{path} counts but has no refraction.", path=path), field=f"{path}.achieved_d")


def _nested(row: Row, path: str) -> None:
    formulas, acuity, visits = row["formulas"], row["acuity"], row["visits"]
    if not isinstance(formulas, Mapping) or not isinstance(acuity, Mapping) or not isinstance(visits, list):
        raise WrongType(say("{path} is no row of results. Make it again.", path=path), field=path)
    for name, numbers in formulas.items():
        if name not in FORMULAS or not isinstance(numbers, list) or len(numbers) != _FORMULA_NUMBERS:
            raise WrongType(say("{path}.formulas is no formula's eye.", path=path), field=f"{path}.formulas")
        for value in numbers:
            _number(value, f"{path}.formulas.{name}", empty=False)
    for kind, value in acuity.items():
        if kind not in _ACUITIES:
            raise UnknownField(say(
                "{path}.acuity knows udva and cdva only.",
                path=path,
            ), field=f"{path}.acuity")
        _number(value, f"{path}.acuity.{kind}")
    for visit in visits:
        if not isinstance(visit, list) or len(visit) != 2:
            raise WrongType(say(
                "{path}.visits holds pairs of visit and refraction.",
                path=path,
            ), field=f"{path}.visits")
        _word(visit[0], f"{path}.visits", empty=False)
        _number(visit[1], f"{path}.visits", empty=False)


def _number(value: Any, path: str, *, empty: bool = True) -> None:
    if value is None and empty:
        return
    if type(value) is not float and type(value) is not int:
        raise WrongType(say("{path} must be a number.", path=path), field=path)
    if not abs(value) < _LARGEST or not math.isfinite(value):
        raise NotFinite(say("{path} is not a number that an eye can have.", path=path), field=path)


def _word(value: Any, path: str, *, empty: bool) -> None:
    if not (value is None and empty) and not isinstance(value, str):
        raise WrongType(say("{path} must be text.", path=path), field=path)
