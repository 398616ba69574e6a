"""What a surgeon may rely on: the test's own book of what was tried and what the screen acknowledged."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from .orders import DRAFT, PASSPHRASE, Order

#: Ways that only add, and where; the others replace the value before.
ADDING = {"entry": "readings", "eye": "eyes", "box": "box"}


@dataclass
class Book:
    """Orders given so far, which of them were begun, and which were acknowledged on the screen."""

    code: str
    orders: dict[int, Order] = field(default_factory=dict)
    tried: list[int] = field(default_factory=list)
    shown: dict[int, Any] = field(default_factory=dict)

    def losses(self, state: dict[str, Any], opened: int | None) -> list[str]:
        """What was acknowledged and is not there, or is there and was never entered."""
        record = next((one for one in state["records"] if one["code"] == self.code), None)
        if record is None:
            return ["the eye is gone"] if self.shown else []
        return [*self._single(record, state, opened), *self._added(record, state), *_unsound(state)]

    def _single(self, record: dict[str, Any], state: dict[str, Any], opened: int | None) -> list[str]:
        found = []
        paths = {order["path"] for order in self.orders.values() if order["way"] not in ADDING}
        for path in sorted(paths):
            allowed = self._allowed(path)
            for name, value in self._places(path, record, state, opened):
                if value not in allowed:
                    found.append(f"{name} {path}: {value!r} is there, wanted one of {allowed!r}")
        return found

    def _allowed(self, path: str) -> list[Any]:
        """The value acknowledged last, and every one that was begun after it."""
        mine = [n for n in self.tried if self.orders[n]["path"] == path]
        last = max((n for n in mine if n in self.shown), default=None)
        values = [self.orders[n]["value"] for n in mine if last is None or n >= last]
        return [None, *values] if last is None else values

    def _places(self, path: str, record: dict[str, Any], state: dict[str, Any],
                opened: int | None) -> list[tuple[str, Any]]:
        if path == PASSPHRASE:
            return [("lock", opened)]
        draft, screen = state["drafts"].get(path), state["screen"].get(path)
        if path == DRAFT:
            return [("draft", draft), ("screen", screen or None)]
        value: Any = record
        for step in path.split("."):
            value = value.get(step) if isinstance(value, dict) else None
        # What was typed and not entered stands in the field, and is asked about there.
        seen = [("screen", float(screen))] if screen and draft is None else []
        return [("record", value), *seen]

    def _added(self, record: dict[str, Any], state: dict[str, Any]) -> list[str]:
        there = {
            "readings": {one["refraction_d"] for one in record["readings"]},
            "eyes": {one["code"] for one in state["records"]},
            "box": {one["lens_power_d"] for one in state["box"]},
        }
        return [f"{kind}: {value!r} is gone" for n, result in self.shown.items()
                if (kind := ADDING.get(self.orders[n]["way"]))
                and (value := result if kind == "eyes" else self.orders[n]["value"]) not in there[kind]]


def _unsound(state: dict[str, Any]) -> list[str]:
    """Damage, a log that does not lead to the record, a second copy that knows more, a store taken for gone."""
    found = [f"damaged: {one['code']} {one['why']}" for one in state["damaged"]]
    found += [f"the log of {record['code']} does not lead to its record"
              for record, replayed in zip(state["records"], state["replayed"], strict=True)
              if _plain(record) != _plain(replayed)]
    found += ["the second copy is ahead"] if state["ahead"] else []
    return found + (["the records are called gone"] if state["missing"] else [])


def _plain(record: dict[str, Any] | None) -> dict[str, Any]:
    return {key: value for key, value in (record or {}).items() if key != "updated_at"}
