"""``export_files``: the parts of a whole export as finished files, with bands and fresh identities."""

from __future__ import annotations

from typing import Any

from pycore.api.export_answers import finished
from pycore.api.export_items import BAND_ITEMS, bands_of, dialect_of, part
from pycore.api.operation import Answer, Operation
from pycore.api.schema import Notes, listing, required
from pycore.exchange.columns import CSV_SCHEMA

ITEMS = (
    required("parts", listing(part), about="All parts that export_part gave."),
    *BAND_ITEMS,
)


def run(request: dict[str, Any], notes: Notes) -> Answer:
    """The files' text, one archive of them, and the smallest group with what coarser bands give."""
    value = finished(request["parts"], bands_of(request), dialect_of(request))
    return Answer(value, {"csv_schema": CSV_SCHEMA})


OPERATION = Operation(
    "export_files", "Parts of an export as finished de-identified files.", ITEMS, run
)
