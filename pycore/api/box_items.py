"""The surgeon's box of lenses in a request: rows as typed from the labels.

A row is one kind of lens with its pieces. A lens past its date is never offered, one within
sixty days of it is offered with a warning (our choice of sixty). Constants are never lent
from one lens to another: a row without the constant that the formula needs is left out and
says so. Tests: ``tests/unit/test_box.py``.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any, Final

from pycore.api.case_door import day
from pycore.api.schema import Item, glossary, listing, optional, record, required
from pycore.api.wording import quantity
from pycore.errors import GuylineError, MissingField
from pycore.formulas import FORMULAS, LensConstants
from pycore.words import say

SOON_DAYS: Final = 60
_MOST_ROWS: Final = 500
CONSTANTS: Final = ("a", "pacd_mm", "surgeon_factor_mm", "a0", "a1", "a2")
_SIZES: Final = ("lens_length_mm", "optic_diameter_mm", "haptic_length_mm")
#: The keys of a record's lens, in its order.
LENS_KEYS: Final = ("lens_name", "lens_power_d", *CONSTANTS, *_SIZES)

ROW: Final = record(
    required("id", glossary("id")),
    required("lens_power_d"),
    required("lens_count"),
    optional("lens_name"),
    *(optional(name) for name in (*CONSTANTS, *_SIZES)),
    optional("constants_source"),
    optional("expires_on", day),
)

BOX_ITEM: Final[Item] = optional(
    "box", listing(ROW, most=_MOST_ROWS), about="The lenses at hand; without it every half dioptre."
)
BOX_TODAY_ITEM: Final[Item] = optional(
    "today", day, about="The local date; needed when a lens of the box has a last day."
)


@dataclass(frozen=True, slots=True)
class Stock:
    """One kind of lens that can be used: rows that differ only in their last day are one kind."""

    key: str
    row: dict[str, Any]
    pieces: int
    ids: tuple[str, ...]
    soonest: date | None

    @property
    def label(self) -> str:
        return label_of(self.row)


@dataclass(frozen=True, slots=True)
class Usable:
    """What of a box can be used on one day with one formula, and why the rest cannot."""

    stock: tuple[Stock, ...]
    left_out: tuple[dict[str, str], ...]


def label_of(row: dict[str, Any]) -> str:
    """Power and the surgeon's own name of a lens."""
    power = quantity(row["lens_power_d"], "lens_power_d")
    return say("{power}, {lens_name}", power=power, lens_name=row["lens_name"]) if row["lens_name"] else power


def key_of(lens: dict[str, Any]) -> str:
    """One name for all lenses of a kind: power, model and constants."""
    parts = (lens["lens_power_d"], lens["lens_name"] or "", *(lens[name] for name in CONSTANTS))
    return "|".join("" if part is None else f"{part:g}" if isinstance(part, float) else str(part)
                    for part in parts)


def usable(rows: list[dict[str, Any]], *, formula: str, today: date | None) -> Usable:
    """The kinds that can be used, in the order of power, and every row left out with its reason."""
    kinds: dict[str, list[dict[str, Any]]] = {}
    left_out = []
    for row in rows:
        why = why_not(row, formula=formula, today=today)
        if why is None:
            kinds.setdefault(key_of(row), []).append(row)
        else:
            left_out.append({"id": row["id"], "label": label_of(row), "why": why})
    stock = (_stock(key, alike) for key, alike in kinds.items())
    return Usable(tuple(sorted(stock, key=lambda one: one.row["lens_power_d"])), tuple(left_out))


def _stock(key: str, rows: list[dict[str, Any]]) -> Stock:
    dates = [row["expires_on"] for row in rows if row["expires_on"] is not None]
    pieces = sum(row["lens_count"] for row in rows)
    first_out = sorted(rows, key=lambda row: row["expires_on"] or date.max)
    return Stock(key, rows[0], pieces, tuple(row["id"] for row in first_out), min(dates, default=None))


def why_not(row: dict[str, Any], *, formula: str | None, today: date | None) -> str | None:
    """Why a row is not offered, or ``None``; without a formula any constant will do."""
    if row["lens_count"] == 0:
        return "None is left."
    days = days_left(row["expires_on"], today)
    if days is not None and days < 0:
        return say("Expired on {isoformat}.", isoformat=row["expires_on"].isoformat())
    return _no_constant(row, formula)


def _no_constant(row: dict[str, Any], formula: str | None) -> str | None:
    if formula is None:
        given = any(row[name] is not None for name in CONSTANTS)
        return None if given else "Enter the A constant from the label: without it no plan can use this lens."
    try:
        FORMULAS[formula].constants_used(constants_of(row))
    except GuylineError as error:
        return error.message
    return None


def constants_of(row: dict[str, Any]) -> LensConstants:
    return LensConstants(**{name: row[name] for name in CONSTANTS})


def days_left(expires_on: date | None, today: date | None) -> int | None:
    """Days up to the last day, negative once it is over; raises without today's date."""
    if expires_on is None:
        return None
    if today is None:
        raise MissingField("today is missing, so expiry cannot be judged. Give the date.", field="today")
    return (expires_on - today).days


def expiry_note(expires_on: date | None, today: date | None) -> str | None:
    """A warning for a lens within sixty days of its last day."""
    days = days_left(expires_on, today)
    if days is None or not 0 <= days <= SOON_DAYS or expires_on is None:
        return None
    when = "today" if days == 0 else "tomorrow" if days == 1 else say("in {days} days", days=days)
    return say("Expires {when}, on {isoformat}.", when=when, isoformat=expires_on.isoformat())


def fill_of(row: dict[str, Any]) -> dict[str, Any]:
    """The lens as it is written into a record: every key, nothing kept of another lens."""
    return {name: row[name] for name in LENS_KEYS}


