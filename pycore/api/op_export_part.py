"""``export_part``: some of the chosen eyes as parts, so that a long series is done piece by piece."""

from __future__ import annotations

from typing import Any

from pycore.api.case_door import TODAY_ITEM, today_of
from pycore.api.export_answers import take
from pycore.api.export_items import part_value
from pycore.api.operation import Answer, Operation
from pycore.api.schema import Notes, flag, listing, mapping, optional, required
from pycore.exchange.columns import CSV_SCHEMA

ITEMS = (
    required("cases", listing(mapping), about="Some of the stored records to export."),
    optional("exclude_demo", flag, default=True, about="Leave invented eyes out."),
    TODAY_ITEM,
)


def run(request: dict[str, Any], notes: Notes) -> Answer:
    """One part per eye, without identities and dates; and the eyes left out with the reason."""
    taken = take(request["cases"], today_of(request), exclude_demo=request["exclude_demo"])
    value = {"parts": [part_value(one) for one in taken.parts], "left_out": taken.left_out}
    return Answer(value, {"csv_schema": CSV_SCHEMA})


OPERATION = Operation(
    "export_part", "Some eyes as parts that export_files puts together.", ITEMS, run
)
