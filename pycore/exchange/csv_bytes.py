"""From the bytes of a table to its lines of cells, a piece at a time.

Encodings: UTF-8 with or without a byte order mark, UTF-16 with one, else Windows-1252, the
usual one of western spreadsheets. NUL bytes, archives, workbooks and documents are refused by
name. Lines end in CR, LF or both; a cell in double quotes may hold line ends. Cells are text;
nothing is read out of them here.

Checked by ``tests/exchange/test_csv_import.py``.
"""

from __future__ import annotations

import codecs
import csv
import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from pycore.errors import (
    BadHeader,
    MixedSeparators,
    NotThisKind,
    NulInText,
    OpenQuote,
    UnknownEncoding,
)
from pycore.words import say

SEPARATORS: Final = {";": "semicolon", ",": "comma", "\t": "tab", "|": "vertical bar"}
#: First bytes of files that are not tables.
_OTHER_KINDS: Final = (
    (b"PK", "an archive or a workbook. Save the sheet as CSV and choose that file"),
    (b"%PDF", "a PDF document. Ask for the table itself as CSV"),
    (b"\xd0\xcf\x11\xe0", "an old workbook or document. Save the sheet as CSV and choose that file"),
    (b"{\\rtf", "a formatted document. Save the table as CSV"),
    (b"\x1f\x8b", "a compressed file. Unpack it first"),
)
_MARKS: Final = (
    (codecs.BOM_UTF8, "utf-8-sig"), (codecs.BOM_UTF16_LE, "utf-16"), (codecs.BOM_UTF16_BE, "utf-16"),
)
_LINE_END: Final = re.compile(r"\r\n|\r|\n")
#: A record longer than this is an open quotation mark.
MOST_RECORD_CHARACTERS: Final = 200_000
#: Marks of writing direction and of no width: invisible, and never part of a value.
INVISIBLE: Final = re.compile("[\u200b-\u200f\u202a-\u202e\u2060-\u2069\u061c\ufeff]")
_MOST_COLUMNS: Final = 500


@dataclass(frozen=True, slots=True)
class Shape:
    """How a file is written: its encoding, separator and names of columns.

    ``skip`` lines (a ``sep=`` line) stand before the names."""

    encoding: str
    separator: str
    header: tuple[str, ...]
    skip: int


@dataclass(frozen=True, slots=True)
class Piece:
    """Lines of cells of one piece, and the text of the line that is not whole yet."""

    records: list[list[str]]
    rest: str


def encoding_of(head: bytes) -> str:
    """The encoding of a file from its first bytes; raises a named error for what is no text."""
    for start, what in _OTHER_KINDS:
        if head.startswith(start):
            raise NotThisKind(say("This file is {what}.", what=what), field="file")
    for mark, name in _MARKS:
        if head.startswith(mark):
            return name
    if b"\x00" in head:
        raise NulInText("The file holds NUL bytes: it is no table, or it is damaged. Export it again as "
                        "CSV in UTF-8.", field="file")
    return "utf-8" if _is_utf8(head) else "cp1252"


def _is_utf8(head: bytes) -> bool:
    try:
        codecs.getincrementaldecoder("utf-8")().decode(head, final=False)
    except UnicodeDecodeError:
        return False
    return True


def decoded(data: bytes, encoding: str, *, first: bool, last: bool) -> tuple[str, bytes]:
    """The text of a piece, and the bytes at its end that are no whole letter yet."""
    if encoding == "utf-16":
        raise AssertionError("a piece of UTF-16 names its byte order")
    try:
        decoder = codecs.getincrementaldecoder(encoding)("strict")
        text = decoder.decode(data, final=last)
        left = decoder.getstate()[0]
    except UnicodeDecodeError as error:
        raise UnknownEncoding(
            say(
                "The bytes near place {start} are no letters in {encoding}. Save the file as CSV in "
                "UTF-8 and choose it again.",
                start=error.start, encoding=encoding,
            ), field="file") from None
    if "\x00" in text:
        raise NulInText("The file holds NUL characters: it is damaged, or no table. Export it again.",
                        field="file")
    return text.removeprefix("\ufeff") if first else text, left


def piece_encoding(head: bytes, encoding: str) -> str:
    """``encoding`` with the byte order spelled out, so that every piece can be read by itself."""
    if encoding != "utf-16":
        return "utf-8" if encoding == "utf-8-sig" else encoding
    return "utf-16-le" if head.startswith(codecs.BOM_UTF16_LE) else "utf-16-be"


def split_records(text: str, *, last: bool) -> tuple[list[str], str]:
    """Whole records of ``text`` and what is left; line ends inside quotes do not end a record."""
    records: list[str] = []
    start, quotes, place = 0, 0, 0
    for found in _LINE_END.finditer(text):
        if found.end() == len(text) and found[0] == "\r" and not last:
            break
        quotes += text.count('"', place, found.start())
        place = found.end()
        if quotes % 2 == 0:
            records.append(text[start:found.start()])
            start = place
    rest = text[start:]
    if len(rest) > MOST_RECORD_CHARACTERS or (last and rest.count('"') % 2):
        raise OpenQuote(say(
            "A quotation mark is never closed; the line begins {rest}. Mend the file and choose it again.",
            rest=f"{rest[:30]!r}",
        ), field="file")
    if last and rest:
        return [*records, rest], ""
    return records, rest


def cells_of(record: str, separator: str) -> list[str]:
    """The cells of one record, without blanks and invisible marks around them."""
    try:
        row = next(csv.reader([record], delimiter=separator), [])
    except csv.Error:
        raise OpenQuote(say(
            "A quotation mark stands where none may be; the line begins {value}. Mend the file and "
            "choose it again.",
            value=f"{record[:30]!r}",
        ), field="file") from None
    return [clean(cell) for cell in row]


def clean(cell: str) -> str:
    """A cell without what cannot be seen."""
    return INVISIBLE.sub("", cell).strip()


def pieces(text: str, shape: Shape, *, last: bool) -> Piece:
    """The lines of cells in ``text``; empty lines are no lines."""
    records, rest = split_records(text, last=last)
    return Piece([cells_of(record, shape.separator) for record in records if record.strip()], rest)


def shape_of(head: bytes, *, whole: bool) -> tuple[Shape, list[list[str]]]:
    """How the file is written and its first lines, from its first bytes."""
    encoding = encoding_of(head)
    spelled = piece_encoding(head, encoding)
    text, _ = decoded(head, spelled, first=True, last=whole)
    records, _ = split_records(text, last=whole)
    lines = [record for record in records if record.strip()]
    if not lines:
        raise BadHeader("The file holds no line of names. Choose a table with one line per eye.",
                        field="file")
    declared = re.fullmatch(r"sep=(.)", lines[0].strip())
    lines = lines[1:] if declared else lines
    separator = declared[1] if declared and declared[1] in SEPARATORS else _separator(lines)
    rows = [cells_of(line, separator) for line in lines]
    header = _header(rows[0] if rows else [])
    _refuse_mixed(rows, lines, separator)
    return Shape(spelled, separator, header, 1 if declared else 0), rows[1:]


def _separator(lines: Sequence[str]) -> str:
    """The separator that splits the names and most lines into the same number of cells."""
    def worth(separator: str) -> tuple[int, int]:
        counts = [len(cells_of(line, separator)) for line in lines[:200]]
        return (sum(count == counts[0] for count in counts) if counts[0] > 1 else 0, counts[0])

    best = max(SEPARATORS, key=worth)
    if worth(best)[1] < 2:
        raise BadHeader("The first line holds only one name. Cells must be separated by semicolons, commas, "
                        "tabs or vertical bars.", field="file")
    return best


def _refuse_mixed(rows: Sequence[Sequence[str]], lines: Sequence[str], separator: str) -> None:
    width = len(rows[0])
    for number, (row, line) in enumerate(zip(rows, lines, strict=True), 1):
        if len(row) == width:
            continue
        other = next((other for other in SEPARATORS if other != separator
                      and len(cells_of(line, other)) == width), None)
        if other is not None:
            raise MixedSeparators(
                say(
                    "Line {number} is separated by {separators}, the names by {separators2}. Save the "
                    "file with one separator and choose it again.",
                    number=number, separators=SEPARATORS[other], separators2=SEPARATORS[separator],
                ), field="file")


def _header(names: Sequence[str]) -> tuple[str, ...]:
    if len(names) > _MOST_COLUMNS:
        raise BadHeader(say(
            "The first line holds {names} names; at most {most_columns} are read.",
            names=len(names), most_columns=_MOST_COLUMNS,
        ),
                        field="file")
    seen = Counter(name.casefold() for name in names if name)
    twice = [name for name in names if name and seen[name.casefold()] > 1]
    if twice:
        raise BadHeader(say(
            "Two columns are called {twice}. Give every column a name of its own.",
            twice=f"{twice[0][:40]!r}",
        ),
                        field="file")
    if names and all(re.fullmatch(r"[-+]?[\d.,]*", name) for name in names):
        raise BadHeader("The first line holds numbers. The first line must hold the names of the columns.",
                        field="file")
    return tuple(name or say("column {place}", place=place) for place, name in enumerate(names, 1))
