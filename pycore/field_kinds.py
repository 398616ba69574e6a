"""What one glossary entry is, and how entries are written down."""

from __future__ import annotations

from dataclasses import asdict, dataclass, field
from typing import Literal

Kind = Literal["number", "integer", "choice", "flag", "code", "date", "instant", "text"]


@dataclass(frozen=True, slots=True)
class Field:
    """One quantity: its name carries the unit, the label is what a screen shows.

    ``lowest``/``highest`` bound what is possible, ``usual_low``/``usual_high`` what needs
    no confirmation. ``signed`` numbers are always shown with their sign.
    """

    name: str
    label: str
    meaning: str
    kind: Kind = "number"
    unit: str = ""
    decimals: int = 2
    lowest: float | None = None
    highest: float | None = None
    usual_low: float | None = None
    usual_high: float | None = None
    signed: bool = False
    choices: dict[str, str] = field(default_factory=dict)

    def as_dict(self) -> dict[str, object]:
        """Plain form for JSON, with every key present."""
        return asdict(self)


def number(
    name: str,
    label: str,
    unit: str,
    possible: tuple[float, float],
    usual: tuple[float, float],
    meaning: str,
    *,
    decimals: int = 2,
    signed: bool = False,
) -> Field:
    """A number with unit, possible and usual limits."""
    return Field(name, label, meaning, "number", unit, decimals, *possible, *usual, signed)


def choice(name: str, label: str, meaning: str, **choices: str) -> Field:
    """One of a few words, each with its label."""
    return Field(name, label, meaning, "choice", choices=choices)


def flag(name: str, label: str, meaning: str) -> Field:
    """Yes or no."""
    return Field(name, label, meaning, "flag")
