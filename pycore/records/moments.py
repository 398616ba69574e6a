"""Dates and instants as the record writes them.

A date is ``YYYY-MM-DD`` (the local date of the visit or surgery); an instant is ISO 8601 in
UTC and ends in ``Z``. Nothing else is read: a date that could mean two days never enters.
"""

from __future__ import annotations

import re
from datetime import date, datetime
from functools import lru_cache
from typing import Final

_DATE: Final = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_INSTANT: Final = re.compile(
    r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}(:[0-9]{2}(\.[0-9]{1,6})?)?(Z|\+00:00)"
)


@lru_cache(maxsize=4096)
def as_date(text: str) -> date | None:
    """The date, or ``None`` when ``text`` is not one.

    >>> as_date("2026-10-06")
    datetime.date(2026, 10, 6)
    >>> as_date("6.10.2026") is None
    True
    """
    if not _DATE.fullmatch(text):
        return None
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


@lru_cache(maxsize=4096)
def as_instant(text: str) -> datetime | None:
    """The instant with its time zone (UTC), or ``None`` when ``text`` is not one."""
    if not _INSTANT.fullmatch(text):
        return None
    try:
        return datetime.fromisoformat(text)
    except ValueError:
        return None


def days_between(first: str, second: str) -> int | None:
    """Whole days from one date to another; ``None`` when either is not a date."""
    start, end = as_date(first), as_date(second)
    return None if start is None or end is None else (end - start).days


def not_after(first: str | None, second: str | None) -> bool:
    """Whether instant ``first`` is known to be no later than ``second``."""
    start, end = _instant_or_none(first), _instant_or_none(second)
    return start is not None and end is not None and start <= end


def after(first: str | None, second: str | None) -> bool:
    """Whether instant ``first`` is known to be later than ``second``."""
    start, end = _instant_or_none(first), _instant_or_none(second)
    return start is not None and end is not None and start > end


def _instant_or_none(text: str | None) -> datetime | None:
    return None if text is None else as_instant(text)
