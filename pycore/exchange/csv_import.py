"""From the lines of a foreign table to new records, each marked as imported, or to reasons.

Nothing is stored here. Every line either becomes a sound record or comes back with its number
and the reason. A record's fingerprint is made from the values by which a surgeon would know the
eye again (measurements, lens, result), so the same eye is recognised in the same file, in a
file with other columns around them, and in an export of the eye itself.

Checked by ``tests/exchange/test_csv_import.py`` and ``tests/exchange/test_round_trip.py``.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from pycore.exchange.anonymise import NINETY_OR_OLDER
from pycore.exchange.cell_values import CellFault, Marks, value_of, words_of
from pycore.exchange.targets import PERSON, TARGETS, Target
from pycore.optics.refraction import Spherocylinder, minus_form
from pycore.records.case import Case, empty_case, standing
from pycore.records.codes import new_code
from pycore.records.finding import Today
from pycore.records.migrate import restore
from pycore.records.moments import days_between
from pycore.records.schedule import FIRST_COUNTING_DAY
from pycore.records.validate import validate
from pycore.words import say

#: More lines than this are refused: nobody has done so many of these operations.
MOST_ROWS: Final = 50_000
#: What tells an eye from all others; a line must hold one of these beside the eye.
_KNOWN_BY: Final = ("axial_length_mm", "k1_d", "k2_d", "r1_mm", "r2_mm", "phakic_acd_mm")
_VISIT_VALUES: Final = (
    "se_d", "sphere_d", "cylinder_d", "axis_deg", "udva_logmar", "cdva_logmar", "iop_mmhg",
)
_DIGITS: Final = 4


@dataclass(frozen=True, slots=True)
class Matching:
    """What each column is taken for (None: left alone), and values that hold for every line."""

    columns: tuple[str | None, ...]
    fixed: Mapping[str, str]
    marks: Marks


@dataclass(frozen=True, slots=True)
class Rejected:
    """A line that became no record."""

    row: int
    why: str


@dataclass(slots=True)
class Taken:
    """Records and reasons; ``persons`` keeps which eyes belong together for the next piece."""

    cases: list[Case] = field(default_factory=list)
    rejected: list[Rejected] = field(default_factory=list)
    persons: dict[str, str] = field(default_factory=dict)
    prints: dict[str, int] = field(default_factory=dict)


def read_rows(
    records: Sequence[Sequence[str]], matching: Matching, taken: Taken, *, first_row: int, now: str,
    today: Today, known: set[str],
) -> None:
    """Put every line among the records of ``taken`` or among its reasons."""
    for row, cells in enumerate(records, first_row):
        try:
            case = _case(cells, matching, taken.persons, now)
            accept(case, taken, row=row, today=today, known=known)
        except CellFault as fault:
            taken.rejected.append(Rejected(row, str(fault)))


def accept(case: Case, taken: Taken, *, row: int, today: Today, known: set[str]) -> None:
    """Check a built record, give it its fingerprint and keep it; raises the reason why not."""
    checked = validate(restore(case), today=today)
    if checked.impossible:
        worst = checked.impossible[0]
        raise CellFault(f"{worst.path}: {worst.message}")
    mark = fingerprint(checked.sound)
    if mark in known:
        raise CellFault("this eye is on this device already")
    if mark in taken.prints:
        raise CellFault(say("the same eye stands in line {prints}", prints=taken.prints[mark]))
    taken.prints[mark] = row
    case["imported"]["fingerprint"] = mark
    taken.cases.append(case)


def _case(cells: Sequence[str], matching: Matching, persons: dict[str, str], now: str) -> Case:
    if len(cells) != len(matching.columns):
        raise CellFault(say(
            "{cells} cells; the line of names has {columns}",
            cells=len(cells), columns=len(matching.columns),
        ))
    values = dict(_values(cells, matching))
    if values.get("eye") is None:
        raise CellFault("eye: not stated; it is never assumed")
    if all(values.get(name) is None for name in _KNOWN_BY):
        raise CellFault("no measurement of this eye is in the line")
    case = blank(now)
    person = values.pop(PERSON, None)
    if person:
        case["person"] = persons.setdefault(person, new_code())
    _fill(case, values)
    return case


def blank(now: str) -> Case:
    """An empty record with a fresh code, marked as imported."""
    case = empty_case(code=new_code(), created_at=now)
    case["imported"] = {"at": now}
    return case


def _values(cells: Sequence[str], matching: Matching) -> Iterator[tuple[str, Any]]:
    for fixed, text in matching.fixed.items():
        yield fixed, _read(TARGETS[fixed], text, Marks(".", "ymd"))
    for name, cell in zip(matching.columns, cells, strict=True):
        value = None if name is None else _read(TARGETS[name], cell, matching.marks)
        if name is not None and (value is not None or name not in matching.fixed):
            yield name, value


def _read(target: Target, cell: str, marks: Marks) -> Any:
    try:
        if target.name == PERSON:
            return cell or None
        if target.words:
            return words_of(cell, target.field)
        return value_of(cell, target.entry, marks)
    except CellFault as fault:
        raise CellFault(f"{target.label}: {fault}") from None


def _fill(case: Case, values: dict[str, Any]) -> None:
    """Put values into their sections; the visit's become one visit."""
    visit: Case = {}
    for name, value in values.items():
        target = TARGETS[name]
        if value is None:
            continue
        if target.section == "visit":
            target.put(visit, value)
        else:
            target.put(case[target.section] if target.section else case, value)
    settle_age(case)
    settle_corneal_unit(case["measurements"])
    if any(visit.get(key) is not None for key in _VISIT_VALUES):
        case["follow_ups"] = [_visit(case, visit)]


def settle_age(case: Case) -> None:
    """An age that stands for a band is kept as one, never as an age."""
    width, age = case["imported"].get("age_band_years"), case["history"]["age_years"]
    if age is None or width in (None, 1):
        case["imported"].pop("age_band_years", None)
        return
    case["imported"]["age_from_years"] = int(min(age, NINETY_OR_OLDER))
    case["history"]["age_years"] = None


def settle_corneal_unit(measured: Case) -> None:
    if measured["k_unit"] is not None:
        return
    if measured["k1_d"] is not None:
        measured["k_unit"] = "d"
    elif measured["r1_mm"] is not None:
        measured["k_unit"] = "mm"


def _visit(case: Case, values: Case) -> Case:
    if values.get("on") is None and values.get("days_after") is None:
        raise CellFault("the result has neither a date nor days after surgery")
    if values.get("on") is not None and case["surgery_on"] is None and values.get("days_after") is None:
        raise CellFault("the result has a date, but surgery has none")
    _settle_days(case, values)
    _settle_refraction(values)
    return {"id": "imported-1", **values}


def _settle_days(case: Case, values: Case) -> None:
    """Dates and days that are both given must agree."""
    on, given = values.get("on"), values.get("days_after")
    counted = None if on is None or case["surgery_on"] is None else days_between(case["surgery_on"], on)
    if given is not None and counted is not None and given != counted:
        raise CellFault(say(
            "the dates are {counted} days apart, but {given} days are given",
            counted=counted, given=f"{given:g}",
        ))


def _settle_refraction(values: Case) -> None:
    """Plus cylinders are transposed; an equivalent beside sphere and cylinder is left to them."""
    sphere, cylinder, axis = (values.get(key) for key in ("sphere_d", "cylinder_d", "axis_deg"))
    if sphere is None:
        if cylinder is not None:
            raise CellFault("Cylinder: there is no sphere beside it")
        values.pop("axis_deg", None)
        return
    if cylinder:
        if axis is None:
            raise CellFault("Axis: the cylinder has none")
        minus = minus_form(Spherocylinder(sphere, cylinder, axis))
        values |= {"sphere_d": minus.sphere_d, "cylinder_d": minus.cylinder_d, "axis_deg": minus.axis_deg}
    elif cylinder is None:
        raise CellFault("Sphere: there is no cylinder beside it; match an equivalent as such")
    values.pop("se_d", None)


def fingerprint(case: Case) -> str:
    """What an eye is known again by: side, measurements, lens, target and results, not its dates.

    The first 32 hexadecimal digits of a SHA-256; the values cannot be read from it.
    """
    measured = case["measurements"]
    known = [
        case["eye"],
        [_rounded(measured[key]) for key in _KNOWN_BY],
        _rounded(case["lens"]["lens_power_d"]),
        _rounded(case["plan"]["target_d"]),
        _known_visits(case),
    ]
    return hashlib.sha256(json.dumps(known).encode()).hexdigest()[:32]


def _known_visits(case: Case) -> list[str]:
    """The first refraction from day 28 on, else the first: what a table with one result holds."""
    found = [(_day(case, visit), visit) for visit in standing(case, "follow_ups")
             if visit["sphere_d"] is not None or visit["se_d"] is not None]
    late = [pair for pair in found if pair[0] >= FIRST_COUNTING_DAY]
    return [
        json.dumps([_rounded(visit[key]) for key in ("sphere_d", "cylinder_d", "se_d")])
        for _, visit in sorted(late or found, key=lambda pair: pair[0])[:1]
    ]


def _day(case: Case, visit: Case) -> float:
    if case["surgery_on"] is not None and visit["on"] is not None:
        return days_between(case["surgery_on"], visit["on"]) or 0
    return float(visit["days_after"] or 0)


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(float(value), _DIGITS)
