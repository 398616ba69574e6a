"""Requests for the results: whole series, odd eyes among them, and rows made of them."""

from __future__ import annotations

import random

from pycore.api.result_rows import row_of
from tests.generators import Payload, generator, sometimes
from tests.generators_cases import stored_eye
from tests.invented_series import series

#: Made once: a request takes some of them.
_EYES = series(60, seed=7)
_ROWS = [row_of(case) for case in _EYES]


@generator("result_rows")
def result_rows(source: random.Random) -> Payload:
    odd = [stored_eye(source), {"code": "?"}, {**stored_eye(source), "demo": True}]
    return {"cases": source.sample(_EYES, source.randint(0, 3)) + source.sample(odd, source.randint(0, 2))}


@generator("results")
def results(source: random.Random) -> Payload:
    return _asked(source, 40)


@generator("result_intervals")
def result_intervals(source: random.Random) -> Payload:
    return _asked(source, 8)


def _asked(source: random.Random, most: int) -> Payload:
    count = source.randint(0, most)
    start = source.randint(0, len(_ROWS) - count)
    rows = _ROWS[start : start + count]
    excluded = [{"code": row["code"], "reason": "Optic capture later."} for row in rows[:1]]
    return {
        "rows": rows,
        **sometimes(source, 0.3, excluded=excluded),
        **sometimes(source, 0.3, one_eye_per_person=True),
        **sometimes(source, 0.1, demo=True),
    }
