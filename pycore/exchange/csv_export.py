"""One de-identified line per eye, and the smallest group in which an eye could hide."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Any, Final

from pycore.exchange.anonymise import anonymised, fresh_identity
from pycore.exchange.columns import COLUMNS, Row, log_numbers
from pycore.exchange.csv_text import Cell, csv_text
from pycore.fields import FIELDS
from pycore.records.case import Case, current_log

HEADER: Final = tuple(column.name for column in COLUMNS)
_DECADE: Final = 10


def export_rows(
    eyes: Sequence[tuple[Case, str, Mapping[str, Cell]]],
) -> list[Row]:
    """Rows from sound records, each with its stage and outcome numbers.

    They stand in the order of their random identities, which is no order at all: neither
    the order of the records nor that of the surgeries shows.
    """
    persons: dict[str, str] = {}
    taken: set[str] = set()
    made = [_row(eye, persons, taken) for eye in eyes]
    return sorted(made, key=lambda row: row.eye_id)


def _row(
    eye: tuple[Case, str, Mapping[str, Cell]], persons: dict[str, str], taken: set[str]
) -> Row:
    case, stage, outcome = eye
    eye_id = fresh_identity("E", taken)
    taken.add(eye_id)
    person_id = _person(case["person"], persons, taken)
    numbers = {**outcome, **log_numbers(current_log(case))}
    return Row(eye_id, person_id, stage, anonymised(case), numbers)


def _person(person: str | None, persons: dict[str, str], taken: set[str]) -> str | None:
    if person is None:
        return None
    if person not in persons:
        persons[person] = fresh_identity("P", taken)
        taken.add(persons[person])
    return persons[person]


def export_text(rows: Sequence[Row]) -> str:
    """The file: header and one line per eye."""
    return csv_text(HEADER, [[column.read(row) for column in COLUMNS] for row in rows])


def smallest_group(rows: Sequence[Row]) -> int | None:
    """How many eyes share sex, decade of age and indication with the rarest one."""
    groups = Counter(_group(row.case["history"]) for row in rows)
    return min(groups.values(), default=None)


def _group(history: Case) -> tuple[Any, ...]:
    age = history["age_years"]
    decade = None if age is None else int(age) // _DECADE
    return history["sex"], decade, history["indication"]


def described_columns() -> list[dict[str, str]]:
    """Name, unit and meaning of every column, in order, from the glossary."""
    return [
        {"name": column.name, "unit": _unit(column.field), "meaning": _meaning(column.field, column.about)}
        for column in COLUMNS
    ]


def _unit(field: str | None) -> str:
    return FIELDS[field].unit if field else ""


def _meaning(field: str | None, about: str) -> str:
    meaning = FIELDS[field].meaning if field else ""
    return " ".join(part for part in (meaning, f"({about})" if field and about else about) if part)
