"""An exported archive back into records: every table, every entry, nothing that was not exported.

Reading goes in two steps, as long series do: the archive into one part per eye (cells, still
text), then parts into records a few at a time. What an export sums up (counts, outcomes, the
first and last reading) is not read: it follows from the entries.

Checked by ``tests/exchange/test_round_trip.py``.
"""

from __future__ import annotations

import io
import re
import struct
import zipfile
import zlib
from collections.abc import Mapping, Sequence
from typing import Any, Final

from pycore.errors import BadHeader, FileDamaged, FileTooLarge, NotThisKind
from pycore.exchange.cell_values import ABSENT, CellFault, Marks, value_of, words_of
from pycore.exchange.columns import ROW_TABLES, row_leaves
from pycore.exchange.csv_bytes import pieces, shape_of
from pycore.exchange.csv_import import (
    MOST_ROWS,
    blank,
    settle_age,
    settle_corneal_unit,
)
from pycore.exchange.leaves import Leaf, put
from pycore.exchange.targets import PERSON, TARGETS
from pycore.fields import FIELDS
from pycore.records.case import Case, Group, Rows, Value, Words
from pycore.records.codes import new_code
from pycore.words import say

#: Bytes of an archive, and of all its files together, that are read.
MOST_BYTES: Final = 40_000_000
MOST_UNPACKED_BYTES: Final = 200_000_000
_MOST_MEMBERS: Final = 30
#: What the library raises for a damaged archive; offsets and names that make no sense are ValueErrors.
_DAMAGE: Final = (zipfile.BadZipFile, zipfile.LargeZipFile, zlib.error, struct.error, EOFError, OSError,
                  ValueError, IndexError, OverflowError)
_VERSION: Final = re.compile(r"[0-9]{1,4}(\.[0-9]{1,4}){1,3}", re.ASCII)
_WITHDRAWN: Final = {"at": None, "reason": "Withdrawn in the imported file."}
_LEFT_OUT: Final = {"at": None, "reason": "Left out in the imported file."}
_TABLE: Final = re.compile(r"(?:^|/)(?:guyline-X-[0-9A-Z]+-)?([a-z]+)(-decimal-comma)?\.csv$")

Lines = list[list[str]]


def tables_of(data: bytes) -> dict[str, tuple[tuple[str, ...], Lines, str]]:
    """Header, lines and decimal mark of every table in the archive."""
    if len(data) > MOST_BYTES:
        raise FileTooLarge(say(
            "The archive has {data} bytes; at most {most_bytes} are read.",
            data=len(data), most_bytes=MOST_BYTES,
        ), field="file")
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as opened:
            infos = _members(opened)
            texts = {table: (opened.read(info), mark) for table, mark, info in infos}
    except _DAMAGE as error:
        damaged = say("The archive is damaged: {error}. Copy it again.", error=error)
        raise FileDamaged(damaged, field="file") from None
    except RuntimeError as error:
        raise NotThisKind(say("The archive cannot be read: {error}.", error=error), field="file") from None
    found = {table: (*_table(text), mark) for table, (text, mark) in texts.items()}
    if "eyes" not in found:
        raise NotThisKind("There is no table of eyes in this archive. A workbook must be saved as CSV first; "
                          "an exported archive holds eyes.csv.", field="file")
    return found


def _members(opened: zipfile.ZipFile) -> list[tuple[str, str, zipfile.ZipInfo]]:
    """Table, decimal mark and place of every table."""
    infos = opened.infolist()
    if len(infos) > _MOST_MEMBERS:
        raise NotThisKind("This is not an exported archive: it holds too many files. A workbook must be "
                          "saved as CSV first.", field="file")
    if sum(info.file_size for info in infos) > MOST_UNPACKED_BYTES:
        raise FileTooLarge("The files in the archive are larger than any export.", field="file")
    named = [(_TABLE.search(info.filename), info) for info in infos]
    return [(name[1], "," if name[2] else ".", info) for name, info in named
            if name and name[1] in ("eyes", *ROW_TABLES)]


def _table(data: bytes) -> tuple[tuple[str, ...], Lines]:
    """An empty table has a line of names all the same."""
    shape, _ = shape_of(data, whole=True)
    piece = pieces(data.decode(shape.encoding, "replace").removeprefix("\ufeff"), shape, last=True)
    return shape.header, piece.records[1:]


def parts_of(data: bytes) -> dict[str, Any]:
    """Headers and one part per eye: its cells and those of its entries, still text."""
    found = tables_of(data)
    header, lines, mark = found["eyes"]
    if "eye_id" not in header or "schema_version" not in header:
        raise BadHeader("The table of eyes in this archive has no eye_id: it is no export of this program.",
                        field="file")
    if len(lines) > MOST_ROWS:
        raise FileTooLarge(say(
            "The archive holds {lines} eyes; at most {most_rows} are read.",
            lines=len(lines), most_rows=MOST_ROWS,
        ),
                           field="file")
    key = header.index("eye_id")
    parts = {line[key]: {"eye": line, "entries": {table: [] for table in ROW_TABLES}}
             for line in lines if len(line) == len(header)}
    for table in ROW_TABLES:
        _sort_in(parts, table, found.get(table))
    return {
        "headers": {name: list(one[0]) for name, one in found.items()},
        "decimal_mark": mark,
        "parts": list(parts.values()),
    }


def _sort_in(
    parts: dict[str, Any], table: str, found: tuple[tuple[str, ...], Lines, str] | None
) -> None:
    if found is None or "eye_id" not in found[0]:
        return
    header, lines, _ = found
    key = header.index("eye_id")
    for line in lines:
        if len(line) == len(header) and line[key] in parts:
            parts[line[key]]["entries"][table].append(line)


def case_of(
    part: Mapping[str, Any], headers: Mapping[str, Sequence[str]], marks: Marks,
    persons: dict[str, str], now: str,
) -> Case:
    """The record of one part; raises the reason why there is none."""
    case = blank(now)
    cells = dict(zip(headers["eyes"], part["eye"], strict=False))
    if cells.get(PERSON):
        case["person"] = persons.setdefault(cells[PERSON], new_code())
    for name, target in TARGETS.items():
        if target.section == "visit" or name == PERSON or not cells.get(name):
            continue
        section = case[target.section] if target.section else case
        target.put(section, _value(_node(target.field, words=target.words), cells[name], marks, name))
    if cells.get("not_learned") == "true":
        case["not_learned"] = dict(_LEFT_OUT)
    if case["eye"] is None:
        raise CellFault("eye: not stated; it is never assumed")
    settle_age(case)
    settle_corneal_unit(case["measurements"])
    for table, section in ROW_TABLES.items():
        case[section] = [
            _entry(table, dict(zip(headers.get(table, ()), line, strict=False)), marks, number)
            for number, line in enumerate(part["entries"].get(table, ()), 1)
        ]
    return case


def _node(field: str, *, words: bool) -> Value | Words:
    return Words(field) if words else Value(field)


def _entry(table: str, cells: Mapping[str, str], marks: Marks, number: int) -> Case:
    entry: Case = {"id": f"imported-{table}-{number}"}
    for leaf in row_leaves(table):
        cell = cells.get(leaf.name, "")
        if cell:
            put(leaf, entry, _leaf_value(leaf, cell, marks))
    return entry


def _leaf_value(leaf: Leaf, cell: str, marks: Marks) -> Any:
    node = leaf.node
    if isinstance(node, Group):
        return dict(_WITHDRAWN) if cell == "true" else None
    if isinstance(node, Rows):
        return [_inner(node, text, marks) for text in cell.split()]
    if isinstance(node, Value) and FIELDS[node.field].kind == "text":
        return cell if _VERSION.fullmatch(cell) else None
    assert isinstance(node, Value | Words)
    return _value(node, cell, marks, leaf.name)


def _inner(node: Rows, text: str, marks: Marks) -> Case:
    """One inner row, written as ``key=value/key=value`` with decimal points."""
    row: Case = {}
    for pair in text.split("/"):
        key, _, value = pair.partition("=")
        member = node.row.members.get(key)
        if isinstance(member, Value):
            row[key] = _value(member, value, Marks(".", "ymd"), key)
    return row


def _value(node: Value | Words, cell: str, marks: Marks, name: str) -> Any:
    try:
        if isinstance(node, Words):
            return words_of(cell, node.field)
        return None if cell.casefold() in ABSENT - set(FIELDS[node.field].choices) else value_of(
            cell, FIELDS[node.field], marks)
    except CellFault as fault:
        raise CellFault(f"{name}: {fault}") from None
