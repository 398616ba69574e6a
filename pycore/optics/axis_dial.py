"""Where each axis lies on a dial seen from in front of the patient, for both eyes alike.

TABO (ISO 8429): 0 points to the right of the picture, degrees run counter-clockwise, 90 is up::

    (x, y) = (cos a, -sin a)        y down, as a screen draws

The other end of an axis is ``(-x, -y)``. Axes are whole degrees from 1 to 180; 0 is written 180.
Source: ISO 8429:1986. Checked by ``tests/limits/test_axis_dial.py``.
"""

from __future__ import annotations

import math
from typing import Final

#: Digits of a point on a circle of radius 1: finer than a hundredth of a degree.
_DIGITS: Final = 5


def axis_points() -> list[tuple[float, float]]:
    """The upper end of axes 1, 2 ... 180 on a circle of radius 1, y down.

    >>> axis_points()[89]
    (0.0, -1.0)
    """
    return [_point(axis_deg) for axis_deg in range(1, 181)]


def _point(axis_deg: int) -> tuple[float, float]:
    angle = math.radians(axis_deg)
    return round(math.cos(angle), _DIGITS) + 0.0, 0.0 - round(math.sin(angle), _DIGITS)
