"""From one cell to one value, or the reason why not; nothing is guessed.

A number has the decimal mark that was agreed for the file; another mark, a grouping, a unit
or a formula is a reason. A date has the order of day and month that was agreed. Words are the
glossary's own, in key or label, and the plain ones listed here.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Final

from pycore.fields import FIELDS, Field, unit_hint
from pycore.words import joined, say

#: Dashes that stand for a minus sign in tables.
_MINUS: Final = str.maketrans({"\u2212": "-", "\u2012": "-", "\u2013": "-", "\u2010": "-", "\u2011": "-"})
_NUMBER: Final = {
    ".": re.compile(r"[-+]?(\d+(\.\d*)?|\.\d+)([eE][-+]?\d{1,2})?", re.ASCII),
    ",": re.compile(r"[-+]?(\d+(,\d*)?|,\d+)([eE][-+]?\d{1,2})?", re.ASCII),
}
_DATE: Final = re.compile(r"(\d{1,4})[-./ ](\d{1,2})[-./ ](\d{1,4})", re.ASCII)
#: Positions of year, month and day.
DATE_ORDERS: Final = {"ymd": (0, 1, 2), "dmy": (2, 1, 0), "mdy": (2, 0, 1)}
_TRUTH: Final = {"true": True, "yes": True, "y": True, "1": True, "false": False, "no": False, "n": False,
                 "0": False}
#: Plain words for the glossary's, by field.
WORDS: Final[dict[str, dict[str, str]]] = {
    "eye": {"r": "right", "od": "right", "re": "right", "l": "left", "os": "left", "le": "left"},
    "sex": {"f": "female", "w": "female", "m": "male", "x": "other"},
    "axial_method": {"us": "contact", "ultrasound": "contact", "a-scan": "contact"},
}
#: What stands for nothing.
ABSENT: Final = frozenset({"", "-", "na", "n/a", "nan", "null", "none", ".", "?"})


class CellFault(Exception):
    """Why a cell cannot be read."""


@dataclass(frozen=True, slots=True)
class Marks:
    """What was agreed for the file: decimal mark, order of dates (None: there are none)."""

    decimal_mark: str
    date_order: str | None


def value_of(cell: str, field: Field, marks: Marks) -> Any:
    """The value of a cell for ``field``; None for an absent one."""
    if cell.casefold() in ABSENT and cell.casefold() not in field.choices:
        return None
    if cell[0] in "=@\t" or (cell[0] in "+-" and re.search(r"[A-Za-z(!]", cell)):
        raise CellFault(say("{cell} is a formula, not a value", cell=f"{cell[:30]!r}"))
    return _KINDS[field.kind](cell, field, marks)


def number_of(cell: str, marks: Marks) -> float:
    """A number with the file's decimal mark."""
    text = cell.translate(_MINUS).replace("\u00a0", "").replace(" ", "")
    text = text.removeprefix("'")
    if not _NUMBER[marks.decimal_mark].fullmatch(text):
        raise CellFault(_why_no_number(cell, text, marks))
    return float(text.replace(",", "."))


def _why_no_number(cell: str, text: str, marks: Marks) -> str:
    other = "," if marks.decimal_mark == "." else "."
    if _NUMBER[other].fullmatch(text):
        return say("{cell} has another decimal mark than the file", cell=f"{cell[:30]!r}")
    if re.match(r"[-+]?[\d.,]+\D", text, re.ASCII):
        return say("{cell} is more than a number; leave units and marks out", cell=f"{cell[:30]!r}")
    return say("{cell} is not a number", cell=f"{cell[:30]!r}")


def _number(cell: str, field: Field, marks: Marks) -> float:
    value = number_of(cell, marks)
    low, high = field.lowest, field.highest
    if (low is not None and value < low) or (high is not None and value > high):
        hint = unit_hint(field, value)
        limits = say(
            "{value} is beyond {low} to {high} {unit}",
            value=f"{value:g}", low=f"{low:g}", high=f"{high:g}", unit=field.unit,
        ).rstrip()
        raise CellFault(say("{limits}. {hint}", limits=limits, hint=hint) if hint else limits)
    return value


def _integer(cell: str, field: Field, marks: Marks) -> int:
    value = _number(cell, field, marks)
    if not value.is_integer():
        raise CellFault(say("{cell} is not a whole number", cell=f"{cell[:30]!r}"))
    return int(value)


def _choice(cell: str, field: Field, marks: Marks) -> str:
    word = cell.casefold()
    if word in field.choices:
        return word
    for key, label in field.choices.items():
        if word == label.casefold():
            return key
    plain = WORDS.get(field.name, {}).get(word)
    if plain is None:
        raise CellFault(say(
            "{cell} is none of: {listed}",
            cell=f"{cell[:30]!r}", listed=joined(", ", field.choices),
        ))
    return plain


def _flag(cell: str, field: Field, marks: Marks) -> bool:
    value = _TRUTH.get(cell.casefold())
    if value is None:
        raise CellFault(say("{cell} is neither true nor false", cell=f"{cell[:30]!r}"))
    return value


def _date(cell: str, field: Field, marks: Marks) -> str:
    found = _DATE.match(cell)
    if found is None:
        raise CellFault(say("{cell} is not a date", cell=f"{cell[:30]!r}"))
    order = "ymd" if len(found[1]) == 4 else marks.date_order
    if order is None or (order == "ymd" and len(found[1]) != 4):
        raise CellFault(say("{cell}: say whether day or month comes first", cell=f"{cell[:30]!r}"))
    year, month, day = (int(found[1 + place]) for place in DATE_ORDERS[order])
    try:
        return date(year, month, day).isoformat() if year > 99 else _short_year(cell)
    except ValueError:
        raise CellFault(say("{cell} is not a day of the calendar", cell=f"{cell[:30]!r}")) from None


def _short_year(cell: str) -> str:
    raise CellFault(say("{cell} has a year of two digits; write all four", cell=f"{cell[:30]!r}"))


def _refused(cell: str, field: Field, marks: Marks) -> Any:
    raise CellFault("text is never taken over")


_KINDS: Final[dict[str, Callable[[str, Field, Marks], Any]]] = {
    "number": _number, "integer": _integer, "choice": _choice, "flag": _flag, "date": _date,
    "text": _refused, "code": _refused, "instant": _refused,
}


def words_of(cell: str, name: str) -> list[str] | None:
    """Glossary words separated by blanks, commas or semicolons; ``none`` for an empty list."""
    if cell.casefold() in ABSENT - {"none"}:
        return None
    found = [word for word in re.split(r"[\s,;]+", cell.casefold()) if word]
    if found == ["none"]:
        return []
    foreign = [word for word in found if word not in FIELDS[name].choices]
    if foreign:
        raise CellFault(say(
            "{foreign} is none of: {listed}",
            foreign=f"{foreign[0][:30]!r}", listed=joined(", ", FIELDS[name].choices),
        ))
    return found


def guessed_decimal_mark(rows: Sequence[Sequence[str]]) -> str:
    """The decimal mark that more cells have; a point when nothing tells."""
    cells = [cell for row in rows for cell in row]
    commas = sum(bool(re.fullmatch(r"[-+\u2212]?\d+,\d+", cell)) for cell in cells)
    points = sum(bool(re.fullmatch(r"[-+\u2212]?\d+\.\d+", cell)) for cell in cells)
    return "," if commas > points else "."


def guessed_date_order(rows: Sequence[Sequence[str]]) -> str | None:
    """``ymd``, ``dmy`` or ``mdy`` when the cells leave no doubt, else None."""
    found = [match for row in rows for cell in row if (match := _DATE.match(cell))]
    if found and all(len(one[1]) == 4 for one in found):
        return "ymd"
    first = any(int(one[1]) > 12 for one in found if len(one[1]) < 3)
    second = any(int(one[2]) > 12 for one in found if len(one[1]) < 3)
    if first == second:
        return None
    return "dmy" if first else "mdy"
