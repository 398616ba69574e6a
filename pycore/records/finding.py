"""What a check found: where, what, how bad, and what to do about it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass
from datetime import UTC, date, datetime, timedelta
from typing import Final, Literal

from pycore.records.case import Case

Severity = Literal["impossible", "unusual", "missing"]
#: Worst first.
SEVERITIES: Final[tuple[Severity, ...]] = ("impossible", "unusual", "missing")

#: Somewhere on earth it is still yesterday, or already tomorrow.
_BEHIND: Final = timedelta(hours=12)
_AHEAD: Final = timedelta(hours=14)


@dataclass(frozen=True, slots=True)
class Finding:
    """``path`` as in ``measurements.k1_d`` or ``readings[0].fill``; ``code`` is stable."""

    path: str
    code: str
    severity: Severity
    message: str

    def as_dict(self) -> dict[str, str]:
        return asdict(self)


@dataclass(frozen=True, slots=True)
class Today:
    """The date here. Without a known time zone it is one of two dates, and both count."""

    earliest: date
    latest: date

    @classmethod
    def on(cls, day: date) -> Today:
        return cls(day, day)

    @classmethod
    def somewhere(cls, now: datetime | None = None) -> Today:
        """The dates it may be at the instant ``now`` (by default this one)."""
        instant = now or datetime.now(UTC)
        return cls((instant - _BEHIND).date(), (instant + _AHEAD).date())


#: A check of a sound record (see :mod:`pycore.records.shape`): yields what it finds.
Check = Callable[[Case, Today], Iterator[Finding]]


def impossible(path: str, code: str, message: str) -> Finding:
    return Finding(path, code, "impossible", message)


def unusual(path: str, code: str, message: str) -> Finding:
    return Finding(path, code, "unusual", message)


def missing(path: str, code: str, message: str) -> Finding:
    return Finding(path, code, "missing", message)
