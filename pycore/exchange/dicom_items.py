"""What a DICOM file offers, as candidates, and how single items of it are read.

Checked by ``tests/exchange/test_dicom_import.py``.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, Final

from pycore.errors import FileDamaged
from pycore.exchange.dicom_file import Opened
from pycore.fields import FIELDS
from pycore.optics.refraction import normal_axis_deg

MINUS: Final = "\u2212"


@dataclass(frozen=True, slots=True)
class Way:
    """One way to take a candidate: words, and values by the record's own names (None empties one)."""

    words: str
    patch: dict[str, Any]


@dataclass(frozen=True, slots=True)
class Candidate:
    """A value of the file. ``ways`` is empty when it cannot be taken; ``refused`` says why."""

    side: str
    field: str
    value: float
    about: tuple[str, ...]
    ways: tuple[Way, ...] = ()
    refused: str | None = None


def candidate(side: str, name: str, value: float, about: tuple[str, ...], *ways: Way) -> Candidate:
    """A candidate that can be taken, unless a value in one of its ways is impossible."""
    given = [(name, value), *(pair for way in ways for pair in way.patch.items())]
    why = next((said for said in (_impossible(*pair) for pair in given) if said), None)
    return Candidate(side, name, value, about, () if why else ways, why)


def _impossible(name: str, value: Any) -> str | None:
    entry = FIELDS.get(name)
    if value is None or entry is None or entry.lowest is None or entry.highest is None:
        return None
    if entry.lowest <= value <= entry.highest:
        return None
    return (f"{entry.label}: {value:g} is beyond {entry.lowest:g} to {entry.highest:g} {entry.unit}, "
            "which no eye has.").replace("-", MINUS)


def eye_item(found: Opened, name: str, side: str) -> Any:
    """The one item of a side, or None; raises a named error when there are several."""
    items = found.data.get(f"{name}{side.capitalize()}EyeSequence")
    if items and len(items) > 1:
        raise FileDamaged(f"The file holds the {side} eye more than once. It is not clear which counts; no "
                          "value of it is used.", field="file")
    return items[0] if items else None


def first(item: Any, name: str) -> Any:
    """The first item of a sequence, or None."""
    items = None if item is None else item.get(name)
    return items[0] if items else None


def number(item: Any, name: str) -> float | None:
    """A finite number, or None where the file has none."""
    value = None if item is None else item.get(name)
    if value is None or value == "":
        return None
    read = float(value)
    if not math.isfinite(read):
        raise FileDamaged("A value in the file is not a finite number. It is not used.", field="file")
    return read


def code(item: Any, name: str) -> str | None:
    """The code value of a code sequence, or None where the file has none."""
    found = first(item, name)
    return None if found is None else str(found.get("CodeValue", ""))


def as_typed(value: float, name: str) -> float:
    """To the decimals of the glossary, as a screen would have it typed."""
    return round(value, FIELDS[name].decimals)


def whole_axis_deg(value: float) -> float:
    """Whole degrees above 0 and up to 180."""
    return normal_axis_deg(float(round(value)))


def signed(value: float) -> str:
    """Two decimals with their sign."""
    return f"{value:+.2f}".replace("-", MINUS)
