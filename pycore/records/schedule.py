"""The visits after surgery: when each is due, and whether it was kept.

Day 1, week 1, months 1, 3, 6 and 12 are the visits of published series of this surgery;
afterwards the conjunctiva over the flanges is looked at once a year, because exposure comes
late (value from memory: mean nine months, some after years). How early or late a visit may
be to count as one of these is our choice. A yearly check is not kept by a visit that says the
flanges were not looked at. An eye lost to follow-up is not due until it is seen again.

Checked by ``tests/records/test_schedule.py``.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import timedelta
from typing import Final

from pycore.records.case import Case, standing
from pycore.records.finding import Today
from pycore.records.moments import as_date, days_between
from pycore.words import say

#: A refraction before this day does not count: sutures, oedema and pressure still change it
#: (common practice in outcome reports: four weeks).
FIRST_COUNTING_DAY: Final = 28
_YEAR: Final = 365
#: States of a visit that is still to be made, most urgent first.
_WAITING: Final = ("late", "due", "later")
#: Years that a list of visits may reach (the glossary ends at 20 000 days).
_MOST_YEARS: Final = 54


@dataclass(frozen=True, slots=True)
class Slot:
    """A planned visit: due on ``day``, overdue after ``grace`` more, kept by a visit between
    ``opens`` and ``closes``; all in days after surgery."""

    label: str
    day: int
    grace: int
    opens: int
    closes: int
    flanges: bool = False


@dataclass(frozen=True, slots=True)
class Due:
    """A planned visit of this eye; ``state`` is done, due, late, later, missed or lost."""

    slot: Slot
    on: str
    state: str


_FIRST_YEAR: Final = (
    Slot("Day 1", 1, 1, 0, 3),
    Slot("Week 1", 7, 4, 4, 27),
    Slot("Month 1", 30, 14, FIRST_COUNTING_DAY, 60),
    Slot("Month 3", 91, 21, 61, 136),
    Slot("Month 6", 182, 30, 137, 273),
    Slot("Month 12", 365, 60, 274, 547),
)


def slot_of(days: int) -> Slot | None:
    """The planned visit that one ``days`` after surgery keeps; ``None`` before surgery."""
    return next((slot for slot in _slots() if slot.opens <= days <= slot.closes), None)


def due_visits(case: Case, today: Today) -> list[Due]:
    """Every planned visit up to the next one to come; empty without a date of surgery.

    What still waited when the eye was lost to follow-up is ``lost``.
    """
    surgery = None if case["surgery_on"] is None else as_date(case["surgery_on"])
    if surgery is None:
        return []
    elapsed = (today.earliest - surgery).days
    over = lost_on(case) is not None
    return [
        Due(slot, (surgery + timedelta(days=slot.day)).isoformat(), _ended(_state(slot, case, elapsed), over))
        for slot in _shown(elapsed)
    ]


def lost_on(case: Case) -> str | None:
    """The date on which the eye was given up as lost, unless it was seen after it."""
    lost = case["lost_to_follow_up"]
    if lost is None or lost["on"] is None:
        return None
    seen = (visit["on"] for visit in standing(case, "follow_ups") if visit["on"] is not None)
    return None if any(day > lost["on"] for day in seen) else str(lost["on"])


def _ended(state: str, over: bool) -> str:
    return "lost" if over and state in _WAITING else state


def visit_days(case: Case) -> list[int]:
    """Days after surgery of the visits that stand and have a date."""
    return [days for days, _ in _seen(case)]


def _seen(case: Case) -> list[tuple[int, Case]]:
    if case["surgery_on"] is None:
        return []
    dated = (
        (days_between(case["surgery_on"], visit["on"]), visit)
        for visit in standing(case, "follow_ups")
        if visit["on"] is not None
    )
    return [(days, visit) for days, visit in dated if days is not None]


def planned_visits() -> tuple[Slot, ...]:
    """The visits of the first year."""
    return _FIRST_YEAR


def next_due(dues: Iterable[Due]) -> Due | None:
    """The first planned visit that is late, due or still to come, in this order."""
    waiting = list(dues)
    for state in _WAITING:
        found = next((due for due in waiting if due.state == state), None)
        if found is not None:
            return found
    return None


def _shown(elapsed: int) -> Iterator[Slot]:
    """The first year whole, then yearly checks up to the next."""
    yield from _FIRST_YEAR
    for slot in _yearly():
        yield slot
        if slot.opens > elapsed:
            return


def _slots() -> Iterator[Slot]:
    yield from _FIRST_YEAR
    yield from _yearly()


def _yearly() -> Iterator[Slot]:
    for year in range(2, _MOST_YEARS + 1):
        day = year * _YEAR
        yield Slot(say("Year {year}: flanges", year=year), day, 60, day - 182, day + 182, flanges=True)


def _state(slot: Slot, case: Case, elapsed: int) -> str:
    if _kept(slot, case):
        return "done"
    if elapsed > slot.closes:
        return "missed"
    if elapsed > slot.day + slot.grace:
        return "late"
    return "due" if elapsed >= slot.opens else "later"


def _kept(slot: Slot, case: Case) -> bool:
    """Whether a visit in time kept it; for a yearly check the flanges were looked at."""
    return any(
        slot.opens <= days <= slot.closes
        for days, visit in _seen(case)
        if not (slot.flanges and visit["flange_check"] == "not_seen")
    )
