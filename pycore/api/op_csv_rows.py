"""``csv_rows``: one piece of a foreign table as new records and reasons; stores nothing."""

from __future__ import annotations

from typing import Any

from pycore.api.case_door import today_of
from pycore.api.import_items import (
    KNOWN_ITEMS,
    MARK_ITEMS,
    NOW_ITEM,
    base64_bytes,
    fixed_values,
    long_text,
    matching_of,
    shape,
    taken_of,
    taken_value,
    targets,
)
from pycore.api.operation import Answer, Operation
from pycore.api.schema import Notes, flag, optional, required
from pycore.errors import BadHeader, FileTooLarge
from pycore.exchange.csv_bytes import decoded, pieces
from pycore.exchange.csv_import import MOST_ROWS, read_rows
from pycore.words import say

ITEMS = (
    required("bytes_base64", base64_bytes, about="This piece, after the bytes that the last one left."),
    required("first", flag, about="Whether the piece begins the file."),
    required("last", flag, about="Whether the piece ends the file."),
    optional("rest", long_text, default="", about="The text that the last piece left."),
    required("shape", shape, about="As csv_look gave it."),
    required("columns", targets, about="What each column is taken for; null leaves it alone."),
    optional("fixed", fixed_values, default={}, about="Values for every line, by target."),
    *MARK_ITEMS,
    NOW_ITEM,
    *KNOWN_ITEMS,
)


def run(request: dict[str, Any], notes: Notes) -> Answer:
    """Records of the whole lines in this piece; ``rest`` and ``left_bytes`` go into the next."""
    written, data = request["shape"], request["bytes_base64"]
    if len(request["columns"]) != len(written.header):
        raise BadHeader(say(
            "{columns} columns are matched; the file has {header}.",
            columns=len(request["columns"]), header=len(written.header),
        ),
                        field="columns")
    text, left = decoded(data, written.encoding, first=request["first"], last=request["last"])
    piece = pieces(request["rest"] + text, written, last=request["last"])
    records = piece.records[1 + written.skip:] if request["first"] else piece.records
    last_row = request["first_row"] + len(records) - 1
    if last_row > MOST_ROWS + 1:
        raise FileTooLarge(say(
            "The file holds more than {most_rows} lines. Choose the table with one line per eye.",
            most_rows=MOST_ROWS,
        ), field="file")
    taken = taken_of(request)
    read_rows(records, matching_of(request), taken, first_row=request["first_row"], now=request["now"],
              today=today_of(request), known=set(request["known"]))
    return Answer({**taken_value(taken), "rest": piece.rest, "left_bytes": len(left), "rows": len(records)})


OPERATION = Operation("csv_rows", "A piece of a foreign table as new records and reasons.", ITEMS, run)
