"""``csv_look``: how a table is written, what its columns may be, and its first lines; stores nothing."""

from __future__ import annotations

from typing import Any, Final

from pycore.api.import_items import base64_bytes, shape_value
from pycore.api.operation import Answer, Operation
from pycore.api.schema import Notes, flag, required, whole
from pycore.errors import FileTooLarge
from pycore.exchange.cell_values import guessed_date_order, guessed_decimal_mark
from pycore.exchange.csv_bytes import shape_of
from pycore.exchange.csv_import import MOST_ROWS
from pycore.exchange.targets import TARGETS, suggested
from pycore.words import say

#: Larger files than this are no table of eyes.
MOST_BYTES: Final = 64_000_000
_SHOWN: Final = 5

ITEMS = (
    required("head_base64", base64_bytes, about="The first bytes of the file, a quarter of a megabyte."),
    required("whole", flag, about="Whether these are all bytes of the file."),
    required("size_bytes", whole(0, 10**12)),
)


def run(request: dict[str, Any], notes: Notes) -> Answer:
    head, size = request["head_base64"], request["size_bytes"]
    if head[:2] == b"PK":
        return Answer({"kind": "archive"})
    shape, rows = shape_of(head, whole=request["whole"])
    rows_about = len(rows) if request["whole"] else round(len(rows) * size / max(len(head), 1))
    if size > MOST_BYTES or rows_about > 2 * MOST_ROWS:
        raise FileTooLarge(say(
            "The file holds about {rows_about} lines; at most {most_rows} are read. Choose the table "
            "with one line per eye.",
            rows_about=rows_about, most_rows=MOST_ROWS,
        ), field="file")
    return Answer({
        "kind": "table",
        "shape": shape_value(shape),
        "decimal_mark": guessed_decimal_mark(rows),
        "date_order": guessed_date_order(rows),
        "rows_about": rows_about,
        "most_rows": MOST_ROWS,
        "columns": [
            {"name": name, "suggested": target, "sample": [row[place][:60] for row in rows[:_SHOWN]
                                                          if place < len(row)]}
            for place, (name, target) in enumerate(zip(shape.header, suggested(shape.header), strict=True))
        ],
        "targets": [
            {"name": one.name, "label": one.label, "unit": one.entry.unit, "group": one.group,
             "meaning": one.entry.meaning, "choices": one.entry.choices, "kind": one.entry.kind}
            for one in TARGETS.values()
        ],
    })


OPERATION = Operation("csv_look", "How a foreign table is written and what its columns may be.", ITEMS, run)
