"""Who gets which piece: the assignment of greatest total value.

Each demand names the kinds that serve it with a positive value, and takes at most one piece.
Solved by shortest augmenting paths with potentials (Kuhn, Naval Res Logist Q 1955;2:83-97;
Munkres, J SIAM 1957;5:32-38). Test: ``tests/unit/test_packing.py``.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Final

#: The cost of a kind that does not serve a demand: more than all values together.
_NEVER: Final = 1e12

Demand = Mapping[int, float]


def assign(demands: Sequence[Demand], stock: Sequence[int | None]) -> list[int | None]:
    """The kind given to each demand, ``None`` where nothing is left for it.

    ``stock`` holds the pieces of each kind; ``None`` is as many as wanted.
    """
    if all(stock[kind] is None for demand in demands for kind in demand):
        return [max(demand, key=lambda kind, d=demand: d[kind], default=None) for demand in demands]  # type: ignore[misc]
    columns = _pieces(demands, stock)
    owners = _solved(_costs(demands, columns), len(columns) + len(demands))
    given: list[int | None] = [None] * len(demands)
    for column, kind in enumerate(columns):
        row = owners[column]
        if row is not None and kind in demands[row]:
            given[row] = kind
    return given


def most_served(demands: Sequence[Demand], stock: Sequence[int | None]) -> int:
    """How many demands can get a piece at all, whatever its value."""
    takers: list[list[int]] = [[] for _ in stock]
    return sum(_serve(row, demands, stock, takers, set()) for row in range(len(demands)))


def _serve(
    row: int,
    demands: Sequence[Demand],
    stock: Sequence[int | None],
    takers: list[list[int]],
    seen: set[int],
) -> bool:
    """Finds ``row`` a piece, moving others to another kind if need be."""
    for kind in demands[row]:
        if kind in seen:
            continue
        seen.add(kind)
        pieces = stock[kind]
        if pieces is None or len(takers[kind]) < pieces:
            takers[kind].append(row)
            return True
        for place, other in enumerate(takers[kind]):
            if _serve(other, demands, stock, takers, seen):
                takers[kind][place] = row
                return True
    return False


def _pieces(demands: Sequence[Demand], stock: Sequence[int | None]) -> list[int]:
    """One column a piece, never more of a kind than could be taken."""
    columns = []
    for kind, pieces in enumerate(stock):
        takers = sum(kind in demand for demand in demands)
        columns += [kind] * (takers if pieces is None else max(min(pieces, takers), 0))
    return columns


def _costs(demands: Sequence[Demand], columns: Sequence[int]) -> list[list[float]]:
    """Negative values, then one column for each demand that goes without."""
    nothing = [0.0] * len(demands)
    return [[-demand[kind] if kind in demand else _NEVER for kind in columns] + nothing for demand in demands]


def _solved(costs: Sequence[Sequence[float]], width: int) -> list[int | None]:
    """The row that owns each column at least total cost; there are no fewer columns than rows."""
    rows, columns = [0.0] * len(costs), [0.0] * width
    owners: list[int | None] = [None] * width
    for row in range(len(costs)):
        _augment(costs, row, rows, columns, owners)
    return owners


def _augment(
    costs: Sequence[Sequence[float]],
    row: int,
    rows: list[float],
    columns: list[float],
    owners: list[int | None],
) -> None:
    """Gives ``row`` a column along the cheapest path of exchanges."""
    width = len(columns)
    slack, came, done = [math.inf] * width, [-1] * width, [False] * width
    tree, current, last = [row], row, -1
    while True:
        cost, own = costs[current], rows[current]
        for column in range(width):
            if not done[column] and (reduced := cost[column] - own - columns[column]) < slack[column]:
                slack[column], came[column] = reduced, last
        step, nearest = min((slack[column], column) for column in range(width) if not done[column])
        for one in tree:
            rows[one] += step
        for column in range(width):
            if done[column]:
                columns[column] -= step
            else:
                slack[column] -= step
        done[nearest], last = True, nearest
        owner = owners[nearest]
        if owner is None:
            break
        tree.append(owner)
        current = owner
    while last >= 0:
        before = came[last]
        owners[last] = row if before < 0 else owners[before]
        last = before
