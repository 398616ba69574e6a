"""How every operation on a stored case reads it: restored, checked, and today's date."""

from __future__ import annotations

from datetime import date
from typing import Any, Final

from pycore.api.schema import Item, Notes, mapping, optional, required
from pycore.errors import OutOfRange
from pycore.records.finding import Today
from pycore.records.migrate import restore
from pycore.records.moments import as_date
from pycore.records.validate import Checked, validate
from pycore.words import say


def day(value: Any, path: str, notes: Notes) -> date:
    """A date as the record writes it."""
    found = as_date(value) if isinstance(value, str) else None
    if found is None:
        raise OutOfRange(say("{path} must be a date like 2026-10-06.", path=path), field=path)
    return found


CASE_ITEM: Final[Item] = required("case", mapping, about="The stored record of one eye.")
TODAY_ITEM: Final[Item] = optional(
    "today", day, about="The local date; without it what is past or due is judged with care."
)


def today_of(request: dict[str, Any]) -> Today:
    """The date in the request, or the dates it may be anywhere now."""
    given = request["today"]
    return Today.somewhere() if given is None else Today.on(given)


def checked_case(document: Any, today: Today) -> tuple[dict[str, Any], Checked]:
    """The restored record, and its sound copy with all findings."""
    case = restore(document)
    return case, validate(case, today=today)
