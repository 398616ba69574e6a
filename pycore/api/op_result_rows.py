"""``result_rows``: one row of plain numbers for each stored eye, to be kept and asked from.

Reading a record is most of the work of the results; the page does it in portions, once for every
change of an eye.
"""

from __future__ import annotations

from typing import Any

from pycore.api.operation import Answer, Operation
from pycore.api.result_rows import MOVEMENT_PER_MM, row_of
from pycore.api.schema import Notes, listing, mapping, required

ITEMS = (required("cases", listing(mapping), about="Stored eyes, demo eyes too."),)


def run(request: dict[str, Any], notes: Notes) -> Answer:
    """A row for every case, in the same order."""
    return Answer(
        {"rows": [row_of(case) for case in request["cases"]]},
        {"movement_per_mm": MOVEMENT_PER_MM},
    )


OPERATION = Operation("result_rows", "What the results need of each stored eye.", ITEMS, run)
