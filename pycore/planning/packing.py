"""The smallest set of lenses that gives every eye of a list a first choice and a spare.

Every eye needs a piece of its own as first choice: a lens once implanted is gone, whatever
the day. A kind of lens is acceptable as first choice when its chance after titration lies
within 3 points of the eye's best, as a spare within 10 points (both our judgement).

A spare is never another eye's first choice. Shared form: the eyes of one day share spares,
so a spare protects against one broken or dropped lens a day for the eyes it fits. Strict
form: every eye has its own spare. First as many eyes as possible get a first choice, then as
many as possible a spare, then the number of pieces is the least; among equal numbers the
chances are raised.

The strict form is an assignment problem, solved exactly. The shared form is a set cover of
the eyes by (day, kind), searched by branch and bound; the bound counts eyes of which no two
can share a spare. ``proven`` says whether the search was finished. Test:
``tests/unit/test_packing.py``, against every possible set.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final

from pycore.planning.assignment import assign, most_served

FIRST_MARGIN: Final = 0.03
SPARE_MARGIN: Final = 0.10
_ROUNDING: Final = 1e-9
#: Search steps before the best set so far is given unproven; far more than lists of 30 eyes need.
MOST_STEPS: Final = 600
#: A first choice counts more than all spares, a spare more than all chances.
_FIRST_WEIGHT: Final = 100_000.0
_SPARE_WEIGHT: Final = 1_000.0
_SPARE_CHANCE: Final = 0.01

#: A spare: the day it is for, and its kind.
Spare = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Eye:
    """One eye of the list: its day, and the chance of each kind of lens; ``None`` is no choice."""

    day: int
    chances: tuple[float | None, ...]

    def acceptable(self, margin: float) -> frozenset[int]:
        """Kinds whose chance lies within ``margin`` of the best."""
        known = [chance for chance in self.chances if chance is not None]
        least = max(known, default=0.0) - margin - _ROUNDING
        return frozenset(
            kind for kind, chance in enumerate(self.chances) if chance is not None and chance >= least
        )

    def chance(self, kind: int) -> float:
        return self.chances[kind] or 0.0


@dataclass(frozen=True, slots=True)
class Packed:
    """The kinds for each eye, the pieces of each kind to take, and whether fewer is ruled out.

    ``least`` is a number of pieces below which no set serves as many eyes.
    """

    firsts: tuple[int | None, ...]
    spares: tuple[int | None, ...]
    pieces: tuple[int, ...]
    least: int
    proven: bool

    @property
    def total(self) -> int:
        return sum(self.pieces)


def pack(eyes: Sequence[Eye], stock: Sequence[int | None], *, strict: bool = False) -> Packed:
    """The set for ``eyes`` from ``stock``: pieces of each kind, ``None`` as many as wanted."""
    return _strict(eyes, stock) if strict else _shared(eyes, stock)


def _first_demand(eye: Eye) -> dict[int, float]:
    return {kind: _FIRST_WEIGHT + eye.chance(kind) for kind in eye.acceptable(FIRST_MARGIN)}


def _spare_demand(eye: Eye) -> dict[int, float]:
    return {
        kind: _SPARE_WEIGHT + _SPARE_CHANCE * eye.chance(kind) for kind in eye.acceptable(SPARE_MARGIN)
    }


def _strict(eyes: Sequence[Eye], stock: Sequence[int | None]) -> Packed:
    demands = [_first_demand(eye) for eye in eyes] + [_spare_demand(eye) for eye in eyes]
    given = assign(demands, stock)
    firsts, spares = given[: len(eyes)], given[len(eyes) :]
    pieces = tuple(given.count(kind) for kind in range(len(stock)))
    return Packed(tuple(firsts), tuple(spares), pieces, sum(pieces), True)


def _shared(eyes: Sequence[Eye], stock: Sequence[int | None]) -> Packed:
    search = _Search(eyes, stock)
    search.run()
    chosen = _improved(search, search.best)
    firsts = assign([_first_demand(eye) for eye in eyes], search.left(chosen))
    spares = tuple(_best_spare(eye, chosen) for eye in eyes)
    kinds = [kind for kind in firsts if kind is not None] + [kind for _, kind in chosen]
    pieces = tuple(kinds.count(kind) for kind in range(len(stock)))
    least = search.firsts + (len(search.best) if search.finished else search.bound)
    return Packed(tuple(firsts), spares, pieces, least, search.finished)


def _best_spare(eye: Eye, chosen: Sequence[Spare]) -> int | None:
    accepted = eye.acceptable(SPARE_MARGIN)
    fitting = [kind for day, kind in chosen if day == eye.day and kind in accepted]
    return max(fitting, key=eye.chance, default=None)


@dataclass(slots=True)
class _Search:
    """Branch and bound over the spares of the shared form."""

    eyes: Sequence[Eye]
    stock: Sequence[int | None]
    best: tuple[Spare, ...] = ()
    score: tuple[int, int] = (0, 0)
    steps: int = 0
    finished: bool = True
    firsts: int = 0
    bound: int = 0
    accepted: list[frozenset[int]] = field(default_factory=list)
    wanted: list[dict[int, float]] = field(default_factory=list)
    known: dict[tuple[int, ...], bool] = field(default_factory=dict)

    def run(self) -> None:
        self.accepted = [eye.acceptable(SPARE_MARGIN) for eye in self.eyes]
        self.wanted = [_first_demand(eye) for eye in self.eyes]
        self.firsts = most_served(self.wanted, self.stock)
        self.score = (len(self.eyes), 0)
        everyone = tuple(range(len(self.eyes)))
        self.bound = self._least(everyone, self._options(everyone, ()))
        self._visit(everyone, (), 0)

    def left(self, chosen: Sequence[Spare]) -> list[int | None]:
        """The stock without the chosen spares."""
        taken = [kind for _, kind in chosen]
        return [
            None if pieces is None else pieces - taken.count(kind)
            for kind, pieces in enumerate(self.stock)
        ]

    def _visit(self, uncovered: tuple[int, ...], chosen: tuple[Spare, ...], skipped: int) -> None:
        self.steps += 1
        if self.steps > MOST_STEPS:
            self.finished = False
            return
        options = self._options(uncovered, chosen)
        hopeless = [eye for eye in uncovered if not options[eye]]
        open_eyes = tuple(eye for eye in uncovered if options[eye])
        skipped += len(hopeless)
        if (skipped, len(chosen) + self._least(open_eyes, options)) >= self.score:
            return
        if not open_eyes:
            self.best, self.score = chosen, (skipped, len(chosen))
            return
        self._branch(open_eyes, options, chosen, skipped)

    def _branch(
        self,
        uncovered: tuple[int, ...],
        options: dict[int, list[int]],
        chosen: tuple[Spare, ...],
        skipped: int,
    ) -> None:
        """The eye with the fewest spares left: each of them, then none."""
        hardest = min(uncovered, key=lambda eye: (len(options[eye]), eye))
        day = self.eyes[hardest].day
        for kind in sorted(options[hardest], key=lambda kind: self._worth(day, kind, uncovered)):
            spare = (day, kind)
            rest = tuple(eye for eye in uncovered if not self._serves(spare, eye))
            self._visit(rest, (*chosen, spare), skipped)
        rest = tuple(eye for eye in uncovered if eye != hardest)
        self._visit(rest, chosen, skipped + 1)

    def _serves(self, spare: Spare, eye: int) -> bool:
        return self.eyes[eye].day == spare[0] and spare[1] in self.accepted[eye]

    def _worth(self, day: int, kind: int, uncovered: tuple[int, ...]) -> tuple[int, float]:
        served = [self.eyes[eye] for eye in uncovered if self._serves((day, kind), eye)]
        return -len(served), -sum(eye.chance(kind) for eye in served)

    def _options(self, uncovered: tuple[int, ...], chosen: tuple[Spare, ...]) -> dict[int, list[int]]:
        """Kinds that can still be put aside for each eye without costing a first choice."""
        kinds = sorted({kind for eye in uncovered for kind in self.accepted[eye]})
        free = {kind for kind in kinds if self._spareable(kind, chosen)}
        return {eye: [kind for kind in sorted(self.accepted[eye]) if kind in free] for eye in uncovered}

    def _spareable(self, kind: int, chosen: tuple[Spare, ...]) -> bool:
        if self.stock[kind] is None:
            return True
        return self.keeps_firsts((*(one for _, one in chosen), kind))

    def keeps_firsts(self, taken: Sequence[int]) -> bool:
        """Whether these pieces can be put aside without costing a first choice."""
        key = tuple(sorted(kind for kind in taken if self.stock[kind] is not None))
        if key not in self.known:
            left = self.left([(0, kind) for kind in key])
            enough = all(pieces is None or pieces >= 0 for pieces in left)
            self.known[key] = enough and most_served(self.wanted, left) == self.firsts
        return self.known[key]

    def _least(self, uncovered: tuple[int, ...], options: dict[int, list[int]]) -> int:
        """Eyes of which no two can share a spare, taken one by one: a lower bound."""
        used: set[Spare] = set()
        count = 0
        for eye in sorted((one for one in uncovered if options[one]), key=lambda one: options[one][-1]):
            spares = {(self.eyes[eye].day, kind) for kind in options[eye]}
            if not spares & used:
                used |= spares
                count += 1
        return count


def _improved(search: _Search, chosen: tuple[Spare, ...]) -> tuple[Spare, ...]:
    """Each spare exchanged for a kind that serves as many eyes and leaves better first choices.

    Where the first choices stay alike, for one that is a better spare.
    """
    for place in range(len(chosen)):
        day = chosen[place][0]
        for kind in range(len(search.stock)):
            changed = (*chosen[:place], (day, kind), *chosen[place + 1 :])
            if _serves_as_many(search, changed, chosen) and _worth(search, changed) > _worth(search, chosen):
                chosen = changed
    return chosen


def _serves_as_many(search: _Search, changed: tuple[Spare, ...], chosen: tuple[Spare, ...]) -> bool:
    fewer = len(_served_spares(search, changed)) < len(_served_spares(search, chosen))
    return not fewer and search.keeps_firsts([kind for _, kind in changed])


def _served_spares(search: _Search, chosen: tuple[Spare, ...]) -> list[float]:
    """The chance of the best spare of each eye that has one."""
    spares = ((eye, _best_spare(eye, chosen)) for eye in search.eyes)
    return [eye.chance(kind) for eye, kind in spares if kind is not None]


def _worth(search: _Search, chosen: tuple[Spare, ...]) -> tuple[float, float]:
    """First choices before spares; rounded, so that dust decides nothing."""
    return round(_firsts_worth(search, chosen), 9), round(sum(_served_spares(search, chosen)), 9)


def _firsts_worth(search: _Search, chosen: tuple[Spare, ...]) -> float:
    """Value of the first choices once these spares are put aside."""
    given = assign(search.wanted, search.left(chosen))
    return sum(
        demand[kind] for demand, kind in zip(search.wanted, given, strict=True) if kind is not None
    )
