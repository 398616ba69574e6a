"""``export_csv``: chosen eyes as de-identified files, and which were left out and why."""

from __future__ import annotations

from typing import Any

from pycore.api.case_door import TODAY_ITEM, today_of
from pycore.api.export_answers import finished, take
from pycore.api.export_items import BAND_ITEMS, bands_of, dialect_of
from pycore.api.operation import Answer, Operation
from pycore.api.schema import Notes, flag, listing, mapping, optional, required
from pycore.exchange.columns import CSV_SCHEMA

ITEMS = (
    required("cases", listing(mapping), about="The stored records to export."),
    optional("exclude_demo", flag, default=True, about="Leave invented eyes out."),
    *BAND_ITEMS,
    TODAY_ITEM,
)


def run(request: dict[str, Any], notes: Notes) -> Answer:
    """The files' text, and every eye that is not in them with the reason."""
    taken = take(request["cases"], today_of(request), exclude_demo=request["exclude_demo"])
    value = finished(taken.parts, bands_of(request), dialect_of(request))
    return Answer({**value, "left_out": taken.left_out}, {"csv_schema": CSV_SCHEMA})


OPERATION = Operation(
    "export_csv", "Chosen eyes as de-identified files: eyes, readings, visits and more.", ITEMS, run
)
