"""``result_intervals``: bootstrap intervals for the figures of ``results`` that have no closed form.

Needs numpy; until it is there the operation answers with a named error, and ``results`` has
answered long before. The same eyes give the same intervals everywhere: the seed is fixed.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from pycore.api.operation import Answer, Operation
from pycore.api.result_items import RESULT_ITEMS, rows_of, sort_rows
from pycore.api.result_rows import Row
from pycore.api.result_series import comparison, series
from pycore.api.schema import Notes

_SERIES: Final = ("target", "decided", "planned")


def run(request: dict[str, Any], notes: Notes) -> Answer:
    from pycore.audit import bootstrap  # only here: it needs numpy, which loads after the first answer

    rows = sort_rows(rows_of(request), request).counted
    value = {"series": {name: _series(rows, name) for name in _SERIES}, "formulas": _formulas(rows)}
    return Answer(value, {"draws": bootstrap.draws_for(len(rows)), "seed": bootstrap.SEED,
                          "unit": "person", "interval": "percentile, 95 %"})


def _series(rows: Sequence[Row], name: str) -> dict[str, Any] | None:
    from pycore.audit import bootstrap

    found = series(rows, name)
    return bootstrap.intervals(found.errors_d, found.persons) if found.errors_d else None


def _formulas(rows: Sequence[Row]) -> dict[str, dict[str, Any]]:
    """Each formula's spread and distances after zeroing, and its median distance against the base's."""
    from pycore.audit import bootstrap

    found = comparison(rows)
    base = None if found.base is None else found.zeroed[found.base].errors_d
    return {
        name: {
            **bootstrap.intervals(zeroed.errors_d, found.persons),
            "median_against_base_d": None if base is None or name == found.base
            else bootstrap.median_difference(zeroed.errors_d, base, found.persons),
        }
        for name, zeroed in found.zeroed.items()
    }


OPERATION = Operation(
    "result_intervals", "Bootstrap intervals of the results; needs numpy.", RESULT_ITEMS, run
)
