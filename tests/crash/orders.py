"""What the robot is told to enter: drawn from a seed, so that a run can be repeated."""

from __future__ import annotations

import random
from collections.abc import Iterator
from itertools import count
from typing import Any

Order = dict[str, Any]
LIVELY = ("number", "number", "number", "choice", "line", "draft", "entry", "undo", "box")
RARE = ("eye", "lock", "lock")
RARE_SHARE = 0.1
METHODS = ("optical", "immersion", "contact")
LENGTH_MM, METHOD, NAME = "measurements.axial_length_mm", "measurements.axial_method", "lens.lens_name"
DRAFT, PASSPHRASE = "plan.meridian_deg", "passphrase"
#: Usual lengths in steps that the screen shows: none is asked about, none is rounded.
LEAST_CMM, LENGTHS = 2200, 400


class Orders:
    """One endless list over all lives."""

    def __init__(self, seed: int) -> None:
        self._rng = random.Random(seed)
        self._numbers = count()

    def life(self, most: int, opened: int | None) -> Iterator[Order]:
        """Orders for one life; ``opened`` is which passphrase is set at its start, None without one."""
        now: dict[str, Any] = {}
        last: Order = {"way": "", "path": ""}
        for _ in range(most):
            way = self._way(last, now)
            n = next(self._numbers)
            order = {"n": n, **self._order(way, n, last, opened)}
            if order["path"] == PASSPHRASE:
                opened = order["value"]
            order["before"] = now.get(order["path"])
            now[order["path"]] = order["value"]
            last = order
            yield order

    def _way(self, last: Order, now: dict[str, Any]) -> str:
        if self._rng.random() < RARE_SHARE:
            return self._rng.choice(RARE)
        way = self._rng.choice(LIVELY)
        undoable = last["way"] in ("number", "line") and last["before"] is not None
        if (way == "undo" and not undoable) or (way == "entry" and last["way"] == "entry"):
            return "number"
        return way

    def _order(self, way: str, n: int, last: Order, opened: int | None) -> Order:
        length_cmm = LEAST_CMM + n % LENGTHS
        if way == "lock":
            return self._lock(opened)
        return {
            "number": {"way": way, "path": LENGTH_MM, "value": length_cmm / 100, "text": f"{length_cmm / 100:.2f}"},
            "choice": {"way": way, "path": METHOD, "value": METHODS[n % len(METHODS)]},
            "line": {"way": way, "path": NAME, "value": f"lens {n}"},
            "draft": {"way": way, "path": DRAFT, "value": str(n % 179 + 1)},
            "entry": {"way": way, "path": "readings", "value": n},
            "undo": {"way": way, "path": last["path"], "value": last.get("before")},
            "box": {"way": way, "path": "box", "value": n},
            "eye": {"way": way, "path": "eyes", "value": self._rng.choice(("left", "right"))},
        }[way]

    def _lock(self, opened: int | None) -> Order:
        if opened is None:
            return {"way": "seal", "path": PASSPHRASE, "value": self._rng.randrange(2)}
        if self._rng.random() < 0.5:
            return {"way": "unseal", "path": PASSPHRASE, "from": opened, "value": None}
        return {"way": "passphrase", "path": PASSPHRASE, "from": opened, "value": 1 - opened}
