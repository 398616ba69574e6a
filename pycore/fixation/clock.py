"""Clock hours of the surgeon's view: 3 o'clock at TABO 0, 12 at 90, 9 at 180, 6 at 270.

The same in both eyes, as TABO angles and the clock face are both seen from in front. Hours are
rounded to halves (15 degrees). Checked by tests/limits/test_entries_geometry.py.
"""

from __future__ import annotations

import math
from typing import Final

from pycore.words import say

DEGREES_PER_HALF_HOUR: Final = 15.0
HALF_HOURS: Final = 24
#: Half-hours on the clock face at TABO 0.
_AT_ZERO: Final = 6


def clock_hour(angle_deg: float) -> str:
    """The nearest half-hour to a TABO direction; a tie goes to the larger angle.

    >>> clock_hour(0), clock_hour(45), clock_hour(90), clock_hour(180), clock_hour(225)
    ('3', '1:30', '12', '9', '7:30')
    """
    return _written((_AT_ZERO - _steps(angle_deg)) % HALF_HOURS)


def clock_hours(meridian_deg: float) -> tuple[str, str]:
    """Both ends of a meridian: at ``meridian_deg`` and opposite, always six hours apart.

    >>> clock_hours(20)
    ('2:30', '8:30')
    """
    first = (_AT_ZERO - _steps(meridian_deg)) % HALF_HOURS
    return _written(first), _written((first + HALF_HOURS // 2) % HALF_HOURS)


def angle_of(clock: str) -> float:
    """The TABO direction of a clock hour, from 0 up to 360.

    >>> angle_of("3"), angle_of("1:30"), angle_of("12"), angle_of("9"), angle_of("6")
    (0.0, 45.0, 90.0, 180.0, 270.0)
    """
    hour, _, half = clock.partition(":")
    return (_AT_ZERO - 2 * int(hour) - bool(half)) % HALF_HOURS * DEGREES_PER_HALF_HOUR


def spoken(clock: str) -> str:
    """A clock hour inside a sentence.

    >>> spoken("9"), spoken("8:30")
    ("9 o'clock", '8:30')
    """
    return clock if ":" in clock else say("{clock} o'clock", clock=clock)


def _steps(angle_deg: float) -> int:
    return math.floor(angle_deg / DEGREES_PER_HALF_HOUR + 0.5)


def _written(half_hours: int) -> str:
    hour = half_hours // 2 or 12
    return say("{hour}:30", hour=hour) if half_hours % 2 else str(hour)
