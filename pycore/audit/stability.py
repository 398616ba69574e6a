"""Stability: the refraction at each planned visit, and its change from one visit to the next.

At each visit ``n``, mean and SD of the spherical equivalent; from the visit before, on the eyes
seen at both, the mean change with its interval and the share that changed by more than 0.50 D
(0.50 D itself has not changed). Where an eye came twice within one visit's window, the later
counts. Checked by ``tests/unit/test_bins.py``.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from pycore.audit.clusters import Estimate, paired_difference
from pycore.audit.statistics import ROUNDING_D, mean, standard_deviation

CHANGED_D: Final = 0.50


@dataclass(frozen=True, slots=True)
class Visit:
    """One planned visit; ``low_d`` and ``high_d`` are one SD either way, changes ``None`` for the first."""

    label: str
    n: int
    mean_d: float
    sd_d: float | None
    low_d: float
    high_d: float
    n_both: int
    change_d: Estimate | None
    changed: int | None
    changed_fraction: float | None


def stability(
    labels: Sequence[str], seen: Sequence[tuple[str, Mapping[str, float]]]
) -> tuple[Visit, ...]:
    """Visits of ``labels`` that any eye kept; ``seen`` is each eye's person and its SE by label."""
    found: list[Visit] = []
    before: str | None = None
    for label in labels:
        values = [by_label[label] for _, by_label in seen if label in by_label]
        if values:
            found.append(_visit(label, values, before, seen))
            before = label
    return tuple(found)


def _visit(
    label: str, values: Sequence[float], before: str | None,
    seen: Sequence[tuple[str, Mapping[str, float]]],
) -> Visit:
    both = [(person, one[label], one[before]) for person, one in seen
            if before is not None and label in one and before in one]
    moved = [abs(now - then) > CHANGED_D + ROUNDING_D for _, now, then in both]
    change = paired_difference(
        [now for _, now, _ in both], [then for _, _, then in both], [person for person, _, _ in both]
    ) if both else None
    count = sum(moved) if moved else None
    centre, spread = mean(values), standard_deviation(values)
    return Visit(
        label=label, n=len(values), mean_d=centre, sd_d=spread, low_d=centre - (spread or 0.0),
        high_d=centre + (spread or 0.0), n_both=len(both), change_d=change, changed=count,
        changed_fraction=None if count is None else count / len(moved),
    )
