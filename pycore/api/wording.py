"""Numbers and eyes in words, the same in every sentence the core writes."""

from __future__ import annotations

from typing import Final

from pycore.fields import FIELDS

MINUS: Final = "\N{MINUS SIGN}"
ABSENT: Final = "not entered"


def quantity(value: float | None, name: str) -> str:
    """A value with sign, fixed decimals and unit of glossary field ``name``.

    >>> quantity(-1.25, "target_d")
    '−1.25 D'
    """
    if value is None:
        return ABSENT
    entry = FIELDS[name]
    text = fixed(value, entry.decimals, signed=entry.signed)
    return f"{text} {entry.unit}".rstrip() if entry.unit != "°" else f"{text}°"


def fixed(value: float, decimals: int, *, signed: bool) -> str:
    """Fixed decimals with a true minus; a rounded zero carries no sign."""
    text = f"{abs(value):.{decimals}f}"
    if not float(text):
        return text
    if value < 0:
        return MINUS + text
    return f"+{text}" if signed else text


def word(value: str | None, name: str) -> str:
    """The label of a choice."""
    return ABSENT if value is None else FIELDS[name].choices[value]
