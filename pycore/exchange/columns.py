"""The columns of the export, in their fixed order, as a table on the glossary.

A column's name is its glossary field's, with the unit in it, after a word that says which
entry it is of (``first_reading_``, ``decision_``, ``outcome_``). ``a`` and ``b`` are the
haptics at the smaller and the larger TABO angle of the fixation meridian. Columns are only
ever added at the end; anything else raises :data:`CSV_SCHEMA`.

Columns read an anonymised record (:mod:`pycore.exchange.anonymise`), never a stored one, so
none can show what was removed there. The numbers under ``outcome_`` that need a formula are
handed in by the caller. Checked by ``tests/unit/test_export_operation.py``.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final

from pycore.exchange.csv_text import Cell
from pycore.optics.refraction import spherical_equivalent_d
from pycore.records.case import CASE, Case, Group, Rows

#: Number of this column table.
CSV_SCHEMA: Final = 1
NO_COMPLICATION: Final = "none"
_SIDES: Final = ("a", "b")


@dataclass(frozen=True, slots=True)
class Row:
    """What one line is made from: identities, stage, anonymised record, other numbers."""

    eye_id: str
    person_id: str | None
    stage: str
    case: Case
    numbers: Mapping[str, Cell]


@dataclass(frozen=True, slots=True)
class Column:
    """A column; ``field`` is the glossary field that gives its unit, limits and meaning."""

    name: str
    field: str | None
    about: str
    read: Callable[[Row], Cell]


def _section(section: str, *keys: str, prefix: str = "") -> tuple[Column, ...]:
    return tuple(
        Column(prefix + key, _field(section, key), "", _in_section(section, key)) for key in keys
    )


def _field(section: str, key: str) -> str | None:
    """The glossary field of a key, from the record's own table."""
    node = CASE.members[section]
    group = node.row if isinstance(node, Rows) else node
    assert isinstance(group, Group)
    return getattr(group.members[key], "field", None)


def _in_section(section: str, key: str) -> Callable[[Row], Cell]:
    def read(row: Row) -> Cell:
        return _plain(row.case[section][key])

    return read


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
    if reading["refraction_d"] is not None:
        return float(reading["refraction_d"])
    if reading["sphere_d"] is None or reading["cylinder_d"] is None:
        return None
    return spherical_equivalent_d(reading["sphere_d"], reading["cylinder_d"])


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


def _decision_columns(*keys: str) -> tuple[Column, ...]:
    about = "last decision, as read back"
    return tuple(
        Column(f"decision_{key}", _field("decisions", key), about, _in_rows(_decisions, -1, key))
        for key in keys
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


def _last_day(row: Row) -> int | None:
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


COLUMNS: Final[tuple[Column, ...]] = (
    Column("schema_version", None, "number of this column table", lambda row: CSV_SCHEMA),
    Column("eye_id", None, "random, for this export only", lambda row: row.eye_id),
    Column("person_id", None, "random, for this export only; links two eyes of one person",
           lambda row: row.person_id),
    Column("eye", "eye", "", lambda row: row.case["eye"]),
    Column("stage", None, "plan, theatre or follow_up", lambda row: row.stage),
    *_section("history", "age_years", "sex", "indication", "cornea", "vitreous"),
    *_section(
        "measurements", "axial_length_mm", "axial_method", "keratometry_method", "k1_d", "k2_d",
        "k2_axis_deg", "r1_mm", "r2_mm", "phakic_acd_mm", "limbus_horizontal_mm",
        "limbus_vertical_mm",
    ),
    *_section(
        "lens", "lens_power_d", "a", "pacd_mm", "surgeon_factor_mm", "a0", "a1", "a2",
        "lens_length_mm", "optic_diameter_mm", "haptic_length_mm",
    ),
    *_section(
        "plan", "target_d", "fellow_se_d", "formula", "meridian_deg", "seat", "entry_a_mm",
        "entry_b_mm", "tunnel_a_mm", "tunnel_b_mm", "melt_mm", "bury_mm", "drawn_out_mm",
        "iridectomy_planned", prefix="plan_",
    ),
    Column("readings_count", None, "readings that were not withdrawn",
           lambda row: len(_readings(row))),
    Column("readings_withdrawn", None, "readings withdrawn with a reason",
           lambda row: len(row.case["readings"]) - len(_readings(row))),
    Column("readings_placements", None, "different placements of the haptics", _placements),
    Column("readings_instruments", "instrument", "all instruments, separated by a blank",
           _instruments),
    *_reading_columns("first", 0),
    *_reading_columns("last", -1),
    *_decision_columns(
        "outside_mm", "cut_a_mm", "cut_b_mm", "melt_mm", "bury_mm", "mean_d", "sd_d", "low80_d",
        "high80_d", "within_050", "no_useful_adjustment", "readings_used", "core_version",
    ),
    *_done_columns(cut="in all, from the log", melt="in all, from the log", bury="last, from the log"),
    Column("visits_count", None, "visits that were not withdrawn", lambda row: len(_visits(row))),
    Column("visits_last_day", "days_after", "day of the last visit", _last_day),
    Column("complications", "complications",
           "all visits; 'none' when every visit looked and saw none", _complications),
    *_outcome_columns(
        days="days_after", refraction_method="refraction_method", se_d="refraction_d",
        sphere_d="sphere_d", cylinder_d="cylinder_d", axis_deg="axis_deg", vertex_mm="vertex_mm",
        udva_logmar="udva_logmar", cdva_logmar="cdva_logmar", iop_mmhg="iop_mmhg",
    ),
    Column("outcome_predicted_d", "predicted_d", "last decision", _in_numbers("predicted_d")),
    Column("outcome_error_d", "error_d", "against the last decision", _in_numbers("error_d")),
    Column("outcome_plan_predicted_d", "predicted_d", "base formula", _in_numbers("plan_predicted_d")),
    Column("outcome_plan_error_d", "error_d", "against the base formula", _in_numbers("plan_error_d")),
    Column("outcome_counts", None, "false when a reason speaks against using this refraction",
           _in_numbers("counts")),
)
