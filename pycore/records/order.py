"""Dates in order, names of entries unique."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import Final

from pycore.records.case import Case, rows
from pycore.records.finding import Check, Finding, Today, impossible, missing, unusual
from pycore.records.moments import after, as_date, as_instant, days_between
from pycore.words import say

#: Sections whose rows carry a name, and those that carry an instant.
_NAMED: Final = ("readbacks", "readings", "haptic_log", "decisions", "follow_ups", "marks")
_TIMED: Final = ("readbacks", "readings", "haptic_log", "decisions")
#: This kind of surgery is younger than this; an earlier date is a slip of the year.
_FIRST_YEAR: Final = 1990


def names(case: Case, today: Today) -> Iterator[Finding]:
    """Every row has a name of its own, in the whole record."""
    seen: set[str] = set()
    for section in _NAMED:
        for path, row in rows(case, section):
            name = row["id"]
            if name is None:
                yield missing(f"{path}.id", "missing_id", "This entry has no name. Enter it again.")
            elif name in seen:
                yield impossible(f"{path}.id", "duplicate_id", "Two entries have the same name. The "
                                 "record was damaged or merged; restore it from a backup.")
            else:
                seen.add(name)


def created_and_changed(case: Case, today: Today) -> Iterator[Finding]:
    """The record was changed no earlier than it was made."""
    if after(case["created_at"], case["updated_at"]):
        yield impossible("updated_at", "changed_before_created", "The record was changed before it "
                         "was created. Check the date of this phone.")


def future_instants(case: Case, today: Today) -> Iterator[Finding]:
    """Nothing was recorded in the future."""
    for path, instant in _instants(case):
        if instant.date() > today.latest:
            yield impossible(path, "in_the_future", say(
                "{instant} is in the future. Check the date of this phone, then enter it again.",
                instant=f"{instant:%Y-%m-%d}",
            ))


def _instants(case: Case) -> Iterator[tuple[str, datetime]]:
    for key in ("created_at", "updated_at"):
        yield from _instant(key, case[key])
    for section in (*_TIMED, "follow_ups"):
        for path, row in rows(case, section):
            yield from _instant(f"{path}.at", row.get("at"))
            withdrawn = row.get("withdrawn") or {"at": None}
            yield from _instant(f"{path}.withdrawn.at", withdrawn["at"])


def _instant(path: str, text: str | None) -> Iterator[tuple[str, datetime]]:
    found = None if text is None else as_instant(text)
    if found is not None:
        yield path, found


def rows_in_time(case: Case, today: Today) -> Iterator[Finding]:
    """Rows stand in the order in which they happened, and are withdrawn after they were made."""
    for section in _TIMED:
        previous: str | None = None
        for path, row in rows(case, section):
            if after(previous, row["at"]):
                yield unusual(f"{path}.at", "out_of_order", "This entry is earlier than the one before "
                              "it. Check the date and time of this phone.")
            if after(row["at"], (row.get("withdrawn") or {"at": None})["at"]):
                yield impossible(f"{path}.withdrawn.at", "withdrawn_too_early",
                                 "It was withdrawn before it was made. Check the date of this phone.")
            previous = row["at"] or previous


def surgery(case: Case, today: Today) -> Iterator[Finding]:
    """The date of surgery is possible, and needed once there are visits."""
    if case["surgery_on"] is None:
        if any(visit["days_after"] is None for visit in case["follow_ups"]):
            yield missing("surgery_on", "missing_surgery_date",
                          "Enter the date of surgery: visits are counted from it.")
        return
    day = as_date(case["surgery_on"])
    if day is not None and day.year < _FIRST_YEAR:
        yield unusual("surgery_on", "long_ago", say("Surgery in {year}? Check the year.", year=day.year))


def theatre_day(case: Case, today: Today) -> Iterator[Finding]:
    """Readings belong to the day of surgery, give or take one for the time zone."""
    for section in ("readings", "decisions"):
        for path, row in rows(case, section):
            apart = _days_apart(case["surgery_on"], row["at"])
            if apart is not None and abs(apart) > 1:
                yield unusual(f"{path}.at", "not_on_surgery_day",
                              say(
                                  "This was entered {apart} days from the date of surgery. Check the "
                                  "date of surgery.",
                                  apart=abs(apart),
                              ))


def _days_apart(day: str | None, instant: str | None) -> int | None:
    return None if day is None or instant is None else days_between(day, instant[:10])


def visits(case: Case, today: Today) -> Iterator[Finding]:
    """Visits have a date, after surgery and not in the future, one visit a day."""
    seen: set[str] = set()
    for path, visit in rows(case, "follow_ups"):
        day = visit["on"]
        if day is None and visit["days_after"] is not None:
            continue
        if day is None:
            yield missing(f"{path}.on", "missing_date", "Enter the date of the visit.")
        elif visit["withdrawn"] is None:
            yield from _visit_day(case, path, day, today)
            if day in seen:
                yield unusual(f"{path}.on", "two_visits_on_one_day",
                              "There is another visit on this day. Withdraw one if it is a repeat.")
            seen.add(day)


def _visit_day(case: Case, path: str, text: str, today: Today) -> Iterator[Finding]:
    day = as_date(text)
    if day is not None and day > today.latest:
        yield impossible(f"{path}.on", "in_the_future", say(
            "{text} is in the future. Enter the date on which the eye was seen.",
            text=text,
        ))
    days = None if case["surgery_on"] is None else days_between(case["surgery_on"], text)
    if days is not None and days < 0:
        yield impossible(f"{path}.on", "visit_before_surgery", say(
            "The visit ({text}) is before surgery ({surgery_on}). Check both dates.",
            text=text, surgery_on=case["surgery_on"],
        ))


def readback_first(case: Case, today: Today) -> Iterator[Finding]:
    """The plan is read back before the first reading."""
    plans = [row["at"] for row in case["readbacks"] if row["kind"] == "plan" and row["at"]]
    if not plans:
        return
    for path, reading in rows(case, "readings"):
        if all(after(plan, reading["at"]) for plan in plans):
            yield unusual(f"{path}.at", "reading_before_readback",
                          "This reading was taken before the plan was read back.")


CHECKS: Final[tuple[Check, ...]] = (
    names, created_and_changed, future_instants, rows_in_time, surgery, theatre_day, visits,
    readback_first,
)
