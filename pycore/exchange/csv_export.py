"""De-identified tables in two steps: each eye's own part, then files of all parts together.

A part holds no identity and no date, so parts can be made a few eyes at a time and kept
until the bands are chosen. Putting them together draws the random identities, puts age and
year into their bands, and writes the text.

Checked by ``tests/unit/test_export_operation.py`` and ``tests/exchange/test_round_trip.py``.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from pycore.exchange.anonymise import anonymised, fresh_identity
from pycore.exchange.columns import (
    COLUMNS,
    CSV_SCHEMA,
    ENTRY_KEYS,
    EYE_KEYS,
    ROW_TABLES,
    Row,
    log_numbers,
    row_leaves,
)
from pycore.exchange.csv_text import Cell, Dialect, csv_text
from pycore.exchange.groups import Bands, Person, age_band, year_band
from pycore.exchange.leaves import cell_at
from pycore.records.case import Case, current_log
from pycore.records.moments import as_date

TABLES: Final = ("eyes", *ROW_TABLES)
EYE_HEADER: Final = (*EYE_KEYS, *(column.name for column in COLUMNS))
_PLACE: Final = {column.name: place for place, column in enumerate(COLUMNS)}
#: Columns whose cells wait for the bands.
_BANDED: Final = ("age_years", "age_band_years", "surgery_year", "year_band_years", "sex", "indication")


@dataclass(frozen=True, slots=True)
class Part:
    """One eye's lines without identities; ``person`` is the code that links two eyes, for the
    time of the export only."""

    person: str | None
    eye: list[Cell]
    entries: dict[str, list[list[Cell]]]


@dataclass(frozen=True, slots=True)
class Table:
    """A table's name, header and lines."""

    name: str
    header: tuple[str, ...]
    lines: list[list[Cell]]

    def text(self, dialect: Dialect) -> str:
        return csv_text(self.header, self.lines, dialect)


def header(table: str) -> tuple[str, ...]:
    """Names of the columns of a table."""
    if table == "eyes":
        return EYE_HEADER
    return (*ENTRY_KEYS, *(leaf.name for leaf in row_leaves(table)))


def part_of(case: Case, stage: str, outcome: Mapping[str, Cell]) -> Part:
    """The lines of one sound record, before bands and identities."""
    left = anonymised(case)
    log = current_log(case)
    row = Row(stage, _year(case), left, {**outcome, **log_numbers(log), **_own_bands(case)})
    cells = [column.read(row) for column in COLUMNS]
    if cells[_PLACE["age_years"]] is None and case["imported"] is not None:
        cells[_PLACE["age_years"]] = case["imported"]["age_from_years"]
    return Part(case["person"], cells, {
        table: [[cell_at(leaf, entry) for leaf in row_leaves(table)] for entry in entries]
        for table, entries in _entries(left, log).items()
    })


def _entries(left: Case, log: list[Case]) -> dict[str, list[Case]]:
    """Anonymised entries by table; of the haptics' log only what no later entry corrects."""
    return {table: log if table == "steps" else left[section] for table, section in ROW_TABLES.items()}


def _year(case: Case) -> int | None:
    day = None if case["surgery_on"] is None else as_date(case["surgery_on"])
    if day is not None:
        return day.year
    year: int | None = (case["imported"] or {}).get("surgery_year")
    return year


def _own_bands(case: Case) -> dict[str, Cell]:
    """How finely age and year are known: to the year, or as the file said that the eye came with."""
    known = case["imported"] or {}
    age = 1 if case["history"]["age_years"] is not None else known.get("age_band_years")
    year = 1 if case["surgery_on"] is not None else known.get("year_band_years")
    return {"age_band_years": age or 1, "year_band_years": year or 1}


def person_of(part: Part, place: int) -> Person:
    """What others may know of this part's person; ``place`` tells eyes without a person apart."""
    age, age_width, year, year_width, sex, indication = (part.eye[_PLACE[name]] for name in _BANDED)
    return Person(
        known_by=place if part.person is None else part.person,
        age_years=_number(age), age_band_years=int(_number(age_width) or 1),
        year=None if year is None else int(_number(year) or 0), year_band_years=int(_number(year_width) or 1),
        sex=_word(sex), indication=_word(indication),
    )


def _number(cell: Cell) -> float | None:
    return None if cell is None or isinstance(cell, str) else float(cell)


def _word(cell: Cell) -> str | None:
    return cell if isinstance(cell, str) else None


def tables(parts: Sequence[Part], bands: Bands) -> list[Table]:
    """All tables with fresh identities, in their order, which is no order at all: neither that of
    the records nor that of the surgeries shows."""
    taken: set[str] = set()
    persons: dict[str, str] = {}
    named = sorted(
        ((_fresh("E", taken), _person(part.person, persons, taken), part, place)
         for place, part in enumerate(parts)),
        key=lambda one: one[0],
    )
    eyes = [[CSV_SCHEMA, eye, person, *_in_bands(part, place, bands)]
            for eye, person, part, place in named]
    return [Table("eyes", EYE_HEADER, eyes)] + [
        Table(table, header(table), [
            [eye, number, *cells]
            for eye, _, part, _ in named for number, cells in enumerate(part.entries[table], 1)
        ])
        for table in ROW_TABLES
    ]


def _fresh(prefix: str, taken: set[str]) -> str:
    drawn = fresh_identity(prefix, taken)
    taken.add(drawn)
    return drawn


def _person(person: str | None, persons: dict[str, str], taken: set[str]) -> str | None:
    if person is None:
        return None
    if person not in persons:
        persons[person] = _fresh("P", taken)
    return persons[person]


def _in_bands(part: Part, place: int, bands: Bands) -> list[Cell]:
    person = person_of(part, place)
    age, year = age_band(person, bands), year_band(person, bands)
    shown: dict[str, Any] = {
        "age_years": age,
        "age_band_years": None if age is None else bands.age_years,
        "surgery_year": year,
        "year_band_years": None if year is None else bands.year_years,
        "sex": person.sex if bands.sex else None,
        "indication": person.indication if bands.indication else None,
    }
    cells = list(part.eye)
    for name, value in shown.items():
        cells[_PLACE[name]] = value
    return cells
