"""The columns of the exported tables, made from the record's own table and the glossary.

``eyes`` has one line per eye; ``readings``, ``visits``, ``steps`` (what was done to the
haptics), ``decisions`` and ``marks`` (on the limbus) have one line per entry and name their
eye by ``eye_id``. A column is named like its glossary field, unit included, after a word that
says which section or entry it is of (``plan_``, ``first_reading_``, ``outcome_``). ``a`` and
``b`` are the haptics at the smaller and the larger TABO angle of the fixation meridian.
Readers go by the names: a name never changes its meaning under one :data:`CSV_SCHEMA`.

Columns read an anonymised record (:mod:`pycore.exchange.anonymise`), never a stored one, so
none can show what was removed there. The numbers under ``outcome_`` that need a formula are
handed in by the caller. Checked by ``tests/unit/test_export_operation.py``.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass, replace
from functools import cache
from typing import Any, Final

from pycore.errors import GuylineError
from pycore.exchange.csv_text import Cell
from pycore.exchange.leaves import Leaf, cell_at, leaves
from pycore.optics.refraction import LEVEL_AXIS_DEG, Spherocylinder
from pycore.optics.retinoscopy import net_equivalent_d, of_meridians
from pycore.records.case import CASE, Case, Group, Node, Rows, Value

#: Number of this column table.
CSV_SCHEMA: Final = 2
NO_COMPLICATION: Final = "none"
_SIDES: Final = ("a", "b")
#: Sections of the eyes table and what stands before their names.
_PREFIXES: Final = {"history": "", "measurements": "", "lens": ""}
#: Rows that have a table of their own: name of the table, section of the record.
ROW_TABLES: Final = {
    "readings": "readings", "visits": "follow_ups", "steps": "haptic_log", "decisions": "decisions",
    "marks": "marks",
}


@dataclass(frozen=True, slots=True)
class Row:
    """What the lines of one eye are made from: stage, year, anonymised record, other numbers."""

    stage: str
    year: int | None
    case: Case
    numbers: Mapping[str, Cell]


@dataclass(frozen=True, slots=True)
class Column:
    """A column; ``field`` is the glossary field that gives its unit, limits and meaning.

    ``leaf`` is the place in the record whose value it shows; columns without one are summed up
    from others and not read back."""

    name: str
    field: str | None
    about: str
    read: Callable[[Row], Cell]
    section: str | None = None
    leaf: Leaf | None = None


def _sections() -> tuple[Column, ...]:
    """Every value of every section that is not a list, in the record's order."""
    found = (
        (section, leaf)
        for section, node in CASE.members.items()
        if isinstance(node, Group) and section != "imported"
        for leaf in leaves(node, prefix=_PREFIXES.get(section, f"{section}_"))
    )
    return tuple(
        Column(leaf.name, leaf.field, "", _in_section(section, leaf), section, leaf)
        for section, leaf in found
    )


def _in_section(section: str, leaf: Leaf) -> Callable[[Row], Cell]:
    def read(row: Row) -> Cell:
        group = row.case[section]
        return cell_at(leaf, group) if isinstance(group, dict) else None

    return read


@cache
def row_leaves(table: str) -> tuple[Leaf, ...]:
    """The places of one entry of a table, in the record's order."""
    node = CASE.members[ROW_TABLES[table]]
    assert isinstance(node, Rows)
    # A version is text in the glossary; anonymised, it is one or nothing.
    versions = [Leaf(key, (key,), Value(key)) for key in ("core_version",) if key in node.row.members]
    return (*leaves(node.row), *versions)


def _field(section: str, key: str) -> str | None:
    """The glossary field of a key, from the record's own table."""
    node: Node = CASE.members[section]
    group = node.row if isinstance(node, Rows) else node
    assert isinstance(group, Group)
    return getattr(group.members[key], "field", None)


def _in_rows(rows: Callable[[Row], list[Case]], index: int, key: str) -> Callable[[Row], Cell]:
    def read(row: Row) -> Cell:
        found = rows(row)
        return _plain(found[index][key]) if found else None

    return read


def _in_numbers(key: str) -> Callable[[Row], Cell]:
    def read(row: Row) -> Cell:
        return row.numbers.get(key)

    return read


def _plain(value: Any) -> Cell:
    assert value is None or isinstance(value, float | int | bool | str)
    return value


def _readings(row: Row) -> list[Case]:
    """Readings that stand: withdrawn is true or false in an anonymised record."""
    return [reading for reading in row.case["readings"] if not reading["withdrawn"]]


def _decisions(row: Row) -> list[Case]:
    decisions: list[Case] = row.case["decisions"]
    return decisions


def _visits(row: Row) -> list[Case]:
    return [visit for visit in row.case["follow_ups"] if not visit["withdrawn"]]


def _reading_columns(place: str, index: int) -> tuple[Column, ...]:
    about = f"{place} reading"
    keys = (
        "outside_a_mm", "outside_b_mm", "removed_a_mm", "removed_b_mm", "length_basis",
        "instrument", "iop_mmhg", "fill",
    )
    plain = (
        Column(f"{place}_reading_{key}", _field("readings", key), about,
               _in_rows(_readings, index, key))
        for key in keys
    )
    return (
        *plain,
        Column(f"{place}_reading_refraction_d", "refraction_d", about,
               lambda row: _reading_d(_readings(row), index)),
    )


def _reading_d(rows: list[Case], index: int) -> float | None:
    if not rows:
        return None
    reading = rows[index]
    held = _held(reading)
    if held is None:
        return None
    with suppress(GuylineError):
        return net_equivalent_d(
            held, vertex_mm=reading["vertex_mm"], working_distance_m=reading["working_distance_m"]
        )
    return None


def _held(reading: Case) -> Spherocylinder | None:
    """What was written down, or ``None`` while it is not complete."""
    for keys in (("meridian_1_d", "meridian_2_d"), ("sphere_d", "cylinder_d")):
        first, second = (reading[key] for key in keys)
        if first is not None and second is not None:
            return of_meridians(first, second) if keys[0] == "meridian_1_d" else Spherocylinder(
                first, second, LEVEL_AXIS_DEG)
    plain = reading["refraction_d"]
    return None if plain is None else Spherocylinder(float(plain), 0.0, LEVEL_AXIS_DEG)


def _words(words: list[str]) -> str | None:
    return " ".join(sorted(set(words))) or None


def _instruments(row: Row) -> str | None:
    return _words([entry["instrument"] for entry in _readings(row) if entry["instrument"]])


def _placements(row: Row) -> int:
    return len({entry["placement"] for entry in _readings(row)} - {None})


def _complications(row: Row) -> str | None:
    """All words of all visits; ``none`` when every visit looked and saw none."""
    seen = [visit["complications"] for visit in _visits(row)]
    looked = [words for words in seen if words is not None]
    found = _words([word for words in looked for word in words])
    return found or (NO_COMPLICATION if looked and len(looked) == len(seen) else None)


def _decision_columns() -> tuple[Column, ...]:
    about = "last decision, as read back"
    node = CASE.members["decisions"]
    assert isinstance(node, Rows)
    keys = [key for key, part in node.row.members.items()
            if isinstance(part, Value) and any(leaf.keys == (key,) for leaf in leaves(node.row))]
    return tuple(
        Column(f"decision_{key}", _field("decisions", key), about, _in_rows(_decisions, -1, key))
        for key in (*keys, "core_version")
    )


def _outcome_columns(**fields: str) -> tuple[Column, ...]:
    about = "first refraction from day 28 on"
    return tuple(
        Column(f"outcome_{key}", field, about, _in_numbers(key)) for key, field in fields.items()
    )


def _done_columns(**about: str) -> tuple[Column, ...]:
    return tuple(
        Column(f"done_{step}_{side}_mm", f"{step}_mm", words, _in_numbers(f"{step}_{side}_mm"))
        for step, words in about.items() for side in _SIDES
    )


def _last_day(row: Row) -> Cell:
    days = [visit["days_after"] for visit in _visits(row) if visit["days_after"] is not None]
    return max(days, default=None)


def log_numbers(entries: list[Case]) -> dict[str, Cell]:
    """Lengths cut and melted in all, and the depth last buried, per haptic.

    ``entries`` are those of the log that no later one corrects.
    """
    made: dict[str, Cell] = {}
    for side in _SIDES:
        for step in ("cut", "melt"):
            lengths = _lengths(entries, side, step)
            made[f"{step}_{side}_mm"] = math.fsum(lengths) if lengths else None
        made[f"bury_{side}_mm"] = next(reversed(_lengths(entries, side, "bury")), None)
    return made


def _lengths(entries: list[Case], side: str, step: str) -> list[float]:
    return [
        entry["length_mm"] for entry in entries
        if entry["haptic"] == side and entry["haptic_step"] == step
        and entry["length_mm"] is not None
    ]


#: What the assembler puts before the columns of an eye.
EYE_KEYS: Final = {
    "schema_version": "number of this column table",
    "eye_id": "random, for this export only",
    "person_id": "random, for this export only; links two eyes of one person",
}
#: What it puts before the columns of an entry.
ENTRY_KEYS: Final = {
    "eye_id": "the eye's in the eyes table",
    "entry": "number of the entry of this eye, in the order entered",
}
_AGE_ABOUT: Final = "lower end of its band; 90 stands for 90 and over"
_PLAN_ABOUT: Final = (
    "base formula with its corrections, haptics at the reference length, without what the surgeon's own eyes "
    "had taught"
)
_YEAR_ABOUT: Final = "first year of its band; empty unless years were asked for"

_MIDDLE: Final = _sections()
COLUMNS: Final[tuple[Column, ...]] = (
    Column("eye", "eye", "", lambda row: _plain(row.case["eye"])),
    Column("stage", None, "plan, theatre or follow_up", lambda row: row.stage),
    *(replace(column, about=_AGE_ABOUT) if column.name == "age_years" else column for column in _MIDDLE),
    Column("age_band_years", "age_band_years", "", _in_numbers("age_band_years")),
    Column("surgery_year", "surgery_year", _YEAR_ABOUT, lambda row: row.year),
    Column("year_band_years", "year_band_years", "", _in_numbers("year_band_years")),
    Column("imported", None, "true for an eye that came into the program with a file",
           lambda row: row.case["imported"] is not None),
    Column("not_learned", None, "true when the surgeon left this eye out of learning",
           lambda row: bool(row.case["not_learned"])),
    Column("readings_count", None, "readings that were not withdrawn",
           lambda row: len(_readings(row))),
    Column("readings_withdrawn", None, "readings withdrawn with a reason",
           lambda row: len(row.case["readings"]) - len(_readings(row))),
    Column("readings_placements", None, "different placements of the haptics", _placements),
    Column("readings_instruments", None, "all instruments, separated by a blank",
           _instruments),
    *_reading_columns("first", 0),
    *_reading_columns("last", -1),
    *_decision_columns(),
    *_done_columns(cut="in all, from the log", melt="in all, from the log", bury="last, from the log"),
    Column("visits_count", None, "visits that were not withdrawn", lambda row: len(_visits(row))),
    Column("visits_last_day", "days_after", "day of the last visit", _last_day),
    Column("complications", None,
           "words of all visits, separated by a blank; 'none' when every visit looked and saw none",
           _complications),
    *_outcome_columns(
        days="days_after", refraction_method="refraction_method", se_d="refraction_d",
        sphere_d="sphere_d", cylinder_d="cylinder_d", axis_deg="axis_deg", vertex_mm="vertex_mm",
        udva_logmar="udva_logmar", cdva_logmar="cdva_logmar", iop_mmhg="iop_mmhg",
    ),
    Column("outcome_predicted_d", "predicted_d", "last decision", _in_numbers("predicted_d")),
    Column("outcome_error_d", "error_d", "against the last decision", _in_numbers("error_d")),
    Column("outcome_plan_predicted_d", "predicted_d", _PLAN_ABOUT, _in_numbers("plan_predicted_d")),
    Column("outcome_plan_error_d", "error_d", f"against the plan: {_PLAN_ABOUT}",
           _in_numbers("plan_error_d")),
    Column("outcome_counts", None, "false when a reason speaks against using this refraction",
           _in_numbers("counts")),
)
