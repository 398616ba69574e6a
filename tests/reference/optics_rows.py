"""The golden rows, and the eyes and poses they describe."""

from __future__ import annotations

import csv
import math
from functools import cache
from pathlib import Path
from typing import Final

from pycore.optics.pose import Pose
from pycore.optics.thick_eye import ThickEye, equiconvex_lens, round_cornea

Row = dict[str, str]
PATH: Final = Path(__file__).with_name("optics_reference.csv")
#: Keratometric power of the rows' anterior radius, 7.77 mm.
K_D: Final = 337.5 / 7.77

#: What the rows allow, see README.md beside them.
POWER_D: Final = 0.005
AXIS_DEG: Final = 0.5
AXIS_FROM_D: Final = 0.05
COMA_UM: Final = 0.002
PER_MM_D: Final = 0.002


@cache
def every_row() -> tuple[Row, ...]:
    """All rows of the file."""
    with PATH.open(encoding="utf-8", newline="") as file:
        return tuple(csv.DictReader(file))


def rows(table: str, **wanted: str) -> list[Row]:
    """The rows of ``table`` with these exact texts in these columns."""
    return [
        row
        for row in every_row()
        if row["table"] == table and all(row[name] == text for name, text in wanted.items())
    ]


def value(row: Row, column: str) -> float:
    """One number of a row."""
    return float(row[column])


def eye_of(row: Row, *, front_mm: float | None = None) -> ThickEye:
    """The row's eye; ``Q`` is the lens's asphericity where the row has one."""
    lens = equiconvex_lens(
        power_d=value(row, "P_D"), index=value(row, "n_iol"), asphericity=float(row["Q"] or 0.0)
    )
    front = float(row["z_front_mm"] or 4.5) if front_mm is None else front_mm
    return ThickEye(round_cornea(k1_d=K_D, k2_d=K_D), lens, value(row, "AL_mm"), front)


def pose_of(row: Row) -> Pose:
    """The row's pose in TABO: +x is the observer's left, 180 degrees."""
    tilt = value(row, "tilt_x_deg")
    dx, dy = value(row, "dec_x_mm"), value(row, "dec_y_mm")
    return Pose(
        tilt_deg=abs(tilt),
        tilt_axis_deg=180.0 if tilt >= 0.0 else 0.0,
        decentre_mm=math.hypot(dx, dy),
        decentre_axis_deg=math.degrees(math.atan2(dy, -dx)),
    )


def axis_apart_deg(axis_deg: float, row: Row) -> float:
    """Between a TABO axis and the row's axis, which counts from +x."""
    apart = (axis_deg + value(row, "axis_deg")) % 180.0
    return min(apart, 180.0 - apart)
