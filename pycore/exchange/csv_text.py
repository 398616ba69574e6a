"""Comma-separated text that spreadsheets and statistics programs read alike.

Format: RFC 4180 (Shafranovich Y, 2005): CRLF after every line, commas, one header line, a
cell with a comma, quote or line break in double quotes, quotes doubled. An absent value is
an empty cell. Numbers have a decimal point, no plus sign, no exponent, no grouping: every
number matches ``-?\\d+(\\.\\d+)?`` and reads back as the very same number. True and false
are written ``true`` and ``false``.

No byte order mark. Spreadsheets need one to read letters beyond ASCII; :func:`csv_text`
refuses such letters, so the text is the same bytes with or without a declared encoding, and
readers that would take the mark for part of the first column's name are not hurt.

The second dialect, :data:`COMMA`, is for spreadsheets set to a decimal comma: semicolons
between cells, a comma in numbers, the same otherwise.

A text cell that begins with ``= + - @``, tab, CR or LF could be run as a formula by a
spreadsheet (CWE-1236; the OWASP list of first characters); it gets an apostrophe in front.
Numbers never do: they come only from the number formatter, and a negative number must stay
one.

Checked by ``tests/exchange/test_csv_text.py``.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from pycore.errors import NotFinite, WrongType
from pycore.words import say

Cell = float | int | bool | str | None

#: First characters with which a spreadsheet may take text for a formula.
FORMULA_STARTS: Final = ("=", "+", "-", "@", "\t", "\r", "\n")
NUMBER: Final = re.compile(r"-?\d+(\.\d+)?", re.ASCII)
_LINE_END: Final = "\r\n"
_QUOTED: Final = re.compile(r'[",;\r\n]')


@dataclass(frozen=True, slots=True)
class Dialect:
    """What separates cells and what marks the decimals."""

    name: str
    separator: str
    decimal_mark: str


#: The exchange file: RFC 4180.
POINT: Final = Dialect("point", ",", ".")
#: For spreadsheets with decimal commas.
COMMA: Final = Dialect("comma", ";", ",")
DIALECTS: Final = {dialect.name: dialect for dialect in (POINT, COMMA)}


def csv_text(
    header: Sequence[str], lines: Iterable[Sequence[Cell]], dialect: Dialect = POINT
) -> str:
    """Header and lines as CSV.

    Raises :class:`WrongType` for lines of another length than the header and for text
    beyond ASCII, :class:`NotFinite` for NaN and infinities.
    """
    width = len(header)
    written = [_line(header, width, dialect), *(_line(line, width, dialect) for line in lines)]
    return "".join(line + _LINE_END for line in written)


def number_text(value: float | int) -> str:
    """A number that reads back as the same one.

    >>> number_text(-0.25), number_text(1e-7), number_text(3.0)
    ('-0.25', '0.0000001', '3')
    """
    if not _is_finite(value):
        raise NotFinite("A value of the file is not a finite number.")
    if isinstance(value, int) or value.is_integer():
        text = str(int(value))
    else:
        text = repr(value)
        text = format(Decimal(text), "f") if "e" in text else text
    if not NUMBER.fullmatch(text):
        raise WrongType(say("{text} is not a number that the file can hold.", text=text))
    return text


def _is_finite(value: float | int) -> bool:
    """Whether it is a number that other readers, who know doubles only, can hold."""
    try:
        return math.isfinite(value)
    except OverflowError:
        return False


def guarded(text: str) -> str:
    """Text that no spreadsheet runs: an apostrophe in front where it could."""
    return f"'{text}" if text.startswith(FORMULA_STARTS) else text


def _line(cells: Sequence[Cell], width: int, dialect: Dialect) -> str:
    if len(cells) != width:
        raise WrongType(say(
            "A line of the file has {cells} cells; the header has {width}.",
            cells=len(cells), width=width,
        ))
    return dialect.separator.join([_cell(cell, dialect) for cell in cells])


def _cell(value: Cell, dialect: Dialect) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return _text_cell(value)
    text = number_text(value)
    return text if dialect.decimal_mark == "." else text.replace(".", dialect.decimal_mark)


def _text_cell(text: str) -> str:
    if not text.isascii():
        raise WrongType("The file holds plain letters only. Leave other text out of it.")
    safe = guarded(text)
    if not _QUOTED.search(safe):
        return safe
    return '"' + safe.replace('"', '""') + '"'
