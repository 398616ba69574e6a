"""``audit``: statistics of predicted and achieved refractions.

An empty list is a named error. With one row ``sd_d`` is null. Below thirty rows a warning
says how little the series settles.
"""

from __future__ import annotations

from dataclasses import asdict
from typing import Any, Final

from pycore.api.operation import Answer, Operation
from pycore.api.schema import Notes, listing, record, required
from pycore.audit.statistics import prediction_error_d, summarise
from pycore.words import say

#: Series below this are called small; common practice, no source.
SMALL_SERIES: Final = 30

ITEMS = (
    required(
        "rows",
        listing(record(required("predicted_d"), required("achieved_d"))),
        about="One row per eye: refraction predicted for the lens implanted, and achieved.",
    ),
)


def run(request: dict[str, Any], notes: Notes) -> Answer:
    """Mean, SD, MAE, MedAE, RMSE and shares within 0.25 to 1.00 D with 95 % intervals."""
    summary = summarise([prediction_error_d(**row) for row in request["rows"]])
    if summary.n < SMALL_SERIES:
        notes.warn(
            "small_series",
            say(
                "Fewer than {small_series} eyes ({n}): read the intervals, not the figures.",
                small_series=SMALL_SERIES, n=summary.n,
            ),
            field="rows",
        )
    value = asdict(summary)
    shares = value.pop("within")
    return Answer(
        {**value, **shares},
        {
            "error": "achieved minus predicted; negative is more myopic than predicted",
            "interval": "Wilson, 95 %",
        },
    )


OPERATION = Operation("audit", "Statistics of predicted and achieved refractions.", ITEMS, run)
