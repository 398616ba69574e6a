"""Boxes of lenses, alone and with the eyes that they are for."""

from __future__ import annotations

import random
from typing import Any

from tests.generators import Payload, generator, sometimes, step
from tests.generators_cases import TODAY, stored_eye

_LAST_DAYS = ("2026-01-31", "2026-11-20", "2026-12-24", "2029-05-31")


@generator("box")
def box(source: random.Random) -> Payload:
    first = step(source, 10.0, 20.0, 0.5)
    run = {"from_d": first, "to_d": first + source.choice([0.0, 3.0, 11.0]),
           "power_step": source.choice(["half", "whole"])}  # fmt: skip
    return {"lenses": rows(source), "today": TODAY, **sometimes(source, 0.4, run=run)}


@generator("pack")
def pack(source: random.Random) -> Payload:
    cases = [stored_eye(source) for _ in range(source.randint(0, 3))]
    days = [source.randint(1, 2) for _ in cases]
    return {
        "cases": cases, "today": TODAY,
        **sometimes(source, 0.7, box=rows(source)),
        **sometimes(source, 0.5, days=days), **sometimes(source, 0.4, strict=True),
    }  # fmt: skip


def rows(source: random.Random) -> list[dict[str, Any]]:
    """A small box: some rows alike, some expired, some without constants."""
    return [
        {"id": f"row{number}", "lens_power_d": step(source, 12.0, 26.0, 0.5),
         "lens_count": source.randint(0, 3), "lens_name": source.choice(["Tray one", "Tray two", None]),
         **sometimes(source, 0.9, a=source.choice([118.4, 118.9])),
         **sometimes(source, 0.3, expires_on=source.choice(_LAST_DAYS), constants_source="label")}
        for number in range(source.randint(0, 6))
    ]
