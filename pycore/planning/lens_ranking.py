"""Which of the lenses at hand comes first, second, and in reserve.

Lenses are ranked by the chance within 0.50 D after titration. Two lenses whose chances lie
within one point of each other are tied: a point is less than the closed form's own error
against playing the titration out, and the whole percentages on screen hardly differ. Among
tied lenses the one whose reach has its middle nearer the target comes first, because then
the readings may turn out either way; within 0.05 D, which no reading resolves, the one whose
middle is more myopic than the target. The margins are our judgement. Test:
``tests/unit/test_lens_ranking.py``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from pycore.planning.lens_choice import LensOutlook

TIE_CHANCE: Final = 0.01
TIE_MIDDLE_D: Final = 0.05
#: Chances are sums of many terms: this much is rounding.
_ROUNDING: Final = 1e-9


@dataclass(frozen=True, slots=True)
class Candidate:
    """One kind of lens; ``pieces`` is how many there are, ``None`` as many as wanted."""

    key: str
    chance: float
    middle_d: float
    pieces: int | None = None

    @classmethod
    def of(
        cls, key: str, found: LensOutlook, *, target_d: float, pieces: int | None = None
    ) -> Candidate:
        """From a lens's outlook; ``middle_d`` is the middle of its reach less the target."""
        low, high = (end.final.mean_d for end in found.reach)
        return cls(key, found.titrated_within_050, (low + high) / 2 - target_d, pieces)


@dataclass(frozen=True, slots=True)
class Choice:
    """First and second lens, why the first stands first, and what is left if it breaks.

    ``by`` is ``alone``, ``chance``, ``middle``, ``myopic`` or ``alike``. The reserve is the
    best lens left after one piece of the first: a second piece of it, or the second.
    """

    first: Candidate
    second: Candidate | None
    reserve: Candidate | None
    by: str


def choose(candidates: Sequence[Candidate]) -> Choice | None:
    """The choice among ``candidates``; ``None`` when there is none at hand."""
    order = ranked(candidates)
    if not order:
        return None
    first, second = order[0], order[1] if len(order) > 1 else None
    another = first.pieces is None or first.pieces > 1
    return Choice(first, second, first if another else second, _by(first, second))


def ranked(candidates: Sequence[Candidate]) -> list[Candidate]:
    """Best first; lenses of which no piece is left are not ranked."""
    left = [one for one in candidates if one.pieces is None or one.pieces > 0]
    order = []
    while left:
        best = _leader(left)
        order.append(best)
        left.remove(best)
    return order


def _leader(left: Sequence[Candidate]) -> Candidate:
    best = max(one.chance for one in left)
    tied = [one for one in left if one.chance >= best - TIE_CHANCE - _ROUNDING]
    nearest = min(abs(one.middle_d) for one in tied)
    level = [one for one in tied if abs(one.middle_d) <= nearest + TIE_MIDDLE_D + _ROUNDING]
    return max(level, key=lambda one: (one.middle_d < 0, one.chance))


def _by(first: Candidate, second: Candidate | None) -> str:
    """Which rule put ``first`` before ``second``."""
    if second is None:
        return "alone"
    if first.chance - second.chance > TIE_CHANCE + _ROUNDING:
        return "chance"
    if abs(second.middle_d) - abs(first.middle_d) > TIE_MIDDLE_D + _ROUNDING:
        return "middle"
    return "myopic" if first.middle_d < 0 <= second.middle_d else "alike"


@dataclass(frozen=True, slots=True)
class Missing:
    """A lens that is not at hand and would be better; ``gain`` as a fraction."""

    candidate: Candidate
    gain: float


def nearest_missing(
    choice: Choice | None, absent: Sequence[Candidate], *, most: int = 2
) -> list[Missing]:
    """The absent lenses that would beat the first by more than a tie, best first."""
    had = 0.0 if choice is None else choice.first.chance
    gains = [Missing(one, one.chance - had) for one in ranked(absent)]
    return [one for one in gains if one.gain > TIE_CHANCE + _ROUNDING][:most]
