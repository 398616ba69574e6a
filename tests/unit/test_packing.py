"""The bag for a list of eyes, against trying every set."""

from __future__ import annotations

import itertools
import random
import time

import pytest

from pycore.planning.assignment import assign, most_served
from pycore.planning.packing import FIRST_MARGIN, SPARE_MARGIN, Eye, pack

PLENTY = None


def every_way(eyes, stock, strict):
    """(firsts, spares, least pieces) by trying every assignment of firsts and every set of spares."""
    firsts = [[*eye.acceptable(FIRST_MARGIN), None] for eye in eyes]
    groups = list(range(len(eyes))) if strict else [eye.day for eye in eyes]
    sets = sorted({(group, kind) for group, eye in zip(groups, eyes, strict=True)
                   for kind in eye.acceptable(SPARE_MARGIN)})
    found = []
    for chosen in itertools.product(*firsts):
        served = sum(kind is not None for kind in chosen)
        for size in range(len(eyes) + 1):
            for spares in itertools.combinations(sets, size):
                used = [kind for kind in chosen if kind is not None] + [kind for _, kind in spares]
                if any(pieces is not None and used.count(kind) > pieces for kind, pieces in enumerate(stock)):
                    continue
                backed = sum(
                    any(g == group and kind in eye.acceptable(SPARE_MARGIN) for g, kind in spares)
                    for group, eye in zip(groups, eyes, strict=True))
                found.append((-served, -backed, served + size))
    best = min(found)
    return -best[0], -best[1], best[2]


@pytest.mark.parametrize("strict", [False, True])
@pytest.mark.parametrize("seed", range(60))
def test_no_smaller_set_serves_as_many_eyes(seed: int, strict: bool) -> None:
    source = random.Random(seed)
    kinds = source.randint(2, 4)
    eyes = [Eye(source.randint(0, 1), tuple(source.choice([0.4, 0.5, 0.56, 0.58, 0.6]) for _ in range(kinds)))
            for _ in range(source.randint(1, 3))]  # fmt: skip
    stock = [source.choice([0, 1, 2, PLENTY]) for _ in range(kinds)]
    packed = pack(eyes, stock, strict=strict)
    served = sum(kind is not None for kind in packed.firsts)
    backed = sum(kind is not None for kind in packed.spares)
    assert (served, backed, packed.total) == every_way(eyes, stock, strict)
    assert packed.proven and packed.least <= packed.total
    for kind, pieces in enumerate(stock):
        assert pieces is None or packed.pieces[kind] <= pieces


@pytest.mark.parametrize("seed", range(80))
def test_the_assignment_has_the_greatest_value(seed: int) -> None:
    source = random.Random(seed)
    kinds = source.randint(1, 4)
    demands = [{kind: source.randint(1, 9) + 0.5 for kind in range(kinds) if source.random() < 0.6}
               for _ in range(source.randint(1, 4))]  # fmt: skip
    stock = [source.choice([0, 1, 2, PLENTY]) for _ in range(kinds)]
    ways = [
        sum(demand[kind] for demand, kind in zip(demands, way, strict=True) if kind is not None)
        for way in itertools.product(*([*demand, None] for demand in demands))
        if all(pieces is None or way.count(kind) <= pieces for kind, pieces in enumerate(stock))
    ]
    given = assign(demands, stock)
    ways_served = [sum(kind is not None for kind in way)
                   for way in itertools.product(*([*demand, None] for demand in demands))
                   if all(pieces is None or way.count(kind) <= pieces for kind, pieces in enumerate(stock))]  # fmt: skip
    assert most_served(demands, stock) == max(ways_served)
    worth = sum(demand[kind] for demand, kind in zip(demands, given, strict=True) if kind is not None)
    assert worth == pytest.approx(max(ways))
    assert all(pieces is None or given.count(kind) <= pieces for kind, pieces in enumerate(stock))


def test_two_eyes_of_a_day_share_a_spare_and_two_days_do_not() -> None:
    """Both eyes are best with kind 0; by hand: two firsts and one spare, or two."""
    chances = (0.60, 0.58, 0.45)
    day, other = Eye(0, chances), Eye(1, chances)
    assert pack([day, day], [PLENTY] * 3).total == 3
    assert pack([day, other], [PLENTY] * 3).total == 4
    assert pack([day, day], [PLENTY] * 3, strict=True).total == 4


def test_a_spare_is_never_another_eyes_first_choice() -> None:
    """Three pieces for two eyes: one is left over; with two, nobody has a spare."""
    eye = Eye(0, (0.60, 0.59))
    assert pack([eye, eye], [2, 1]).spares == (1, 1)
    packed = pack([eye, eye], [1, 1])
    assert None not in packed.firsts and packed.spares == (None, None)


def test_one_spare_between_two_powers_serves_both() -> None:
    """Kind 1 is 7 points below the best of either eye: not a first choice, a spare for both."""
    eyes = [Eye(0, (0.62, 0.55, 0.40)), Eye(0, (0.40, 0.55, 0.62))]
    packed = pack(eyes, [PLENTY] * 3)
    assert packed.firsts == (0, 2) and packed.spares == (1, 1) and packed.pieces == (1, 1, 1)


@pytest.mark.parametrize("strict", [False, True])
@pytest.mark.parametrize("pieces", [1, 2, PLENTY])
def test_thirty_eyes_are_packed_in_time(pieces: int | None, strict: bool) -> None:
    """Well under a second on a quiet machine; the limit here allows for a busy one."""
    source = random.Random(7)
    best = [source.uniform(4, 36) for _ in range(30)]
    eyes = [Eye(index % 3, tuple(max(0.62 - 0.02 * abs(k - b) - 0.012 * (k - b) ** 2, 0.0) for k in range(40)))
            for index, b in enumerate(best)]  # fmt: skip
    started = time.process_time()
    packed = pack(eyes, [pieces] * 40, strict=strict)
    assert time.process_time() - started < 5.0
    assert packed.proven or pieces == 1
    assert packed.least <= packed.total
