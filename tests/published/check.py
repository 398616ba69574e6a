"""One comparison of the core with a value from outside it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

#: How the expected value is known.
#:
#: ``journal``: read in a paper or a standard. ``secondary``: read in a text that quotes one.
#: ``memory``: value from memory, the source was not seen. ``consistency``: computed by
#: independent implementations of the same equations; agreement is consistency, not proof.
Confidence = Literal["journal", "secondary", "memory", "consistency"]


@dataclass(frozen=True, slots=True)
class OutsideCheck:
    """``compute()`` must lie within ``tolerance`` of ``expected``; tolerance is half a printed
    unit, or what the source states."""

    name: str
    source: str
    confidence: Confidence
    expected: float
    tolerance: float
    compute: Callable[[], float]

    @property
    def difference(self) -> float:
        """Computed minus expected."""
        return self.compute() - self.expected

    @property
    def agrees(self) -> bool:
        """Whether the difference is within the tolerance (NaN never is)."""
        return abs(self.difference) <= self.tolerance
