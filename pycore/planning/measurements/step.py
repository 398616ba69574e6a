"""One correction that was made: what it changed, from what to what, and on whose word."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

#: ``journal`` read there, ``secondary`` read in a text that quotes it, ``memory`` from memory,
#: ``derived`` follows from optics or definitions, ``assumption`` our own.
Confidence = Literal["journal", "secondary", "memory", "derived", "assumption"]


@dataclass(frozen=True, slots=True)
class Step:
    """``name`` is a stable word, ``text`` a sentence for the screen."""

    name: str
    text: str
    before: float
    after: float
    source: str
    confidence: Confidence
