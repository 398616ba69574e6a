"""Bins of the standard outcome graphs. Every edge is stated; no value falls between two bins.

A bin runs from ``low`` to ``high``. Distances from zero: the far edge belongs to the bin, the
near one to the bin before, on both sides alike, so that +0.50 D and -0.50 D both count as
"within 0.50 D". Values are compared after adding nothing and rounding nothing, but for 1e-9 D,
which is the rounding of decimals in binary. Shares are of all values binned and sum to one.

The lists of bins are those of ophthalmic journals' standard graphs for refractive and lens surgery
(editorials of 2009, 2014 and 2017; edges from memory). Checked by ``tests/unit/test_bins.py`` against
bins counted by hand.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from pycore.audit.statistics import ROUNDING_D
from pycore.words import say

MINUS: Final = "\N{MINUS SIGN}"


@dataclass(frozen=True, slots=True)
class Bin:
    """``low`` and ``high`` are ``None`` where the bin is open."""

    label: str
    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True)
class Counted:
    """A bin with how many values fell into it, and their share of all."""

    label: str
    count: int
    fraction: float


#: Upper edges of the distance from the target, D; the last bin is open.
ERROR_EDGES_D: Final = (0.13, 0.50, 1.00, 1.50, 2.00)
#: Upper edges of the refractive cylinder, D, as magnitudes; the last bin is open.
CYLINDER_EDGES_D: Final = (0.25, 0.50, 0.75, 1.00, 1.25, 1.50, 2.00, 3.00)
#: Acuity lines of the cumulative graph, best first: label in feet and its logMAR.
ACUITY_LINES: Final = (
    ("20/12.5", -0.2), ("20/16", -0.1), ("20/20", 0.0), ("20/25", 0.1), ("20/32", 0.2),
    ("20/40", 0.3), ("20/63", 0.5), ("20/100", 0.7), ("20/200", 1.0),
)
#: A decimal or Snellen acuity written as logMAR misses its line by this at most.
ACUITY_ROUNDING: Final = 0.005
#: One line of a chart.
LINE_LOGMAR: Final = 0.1
MOST_LINES: Final = 3
#: Distances of the cumulative error graph, D.
DISTANCES_D: Final = (0.25, 0.50, 0.75, 1.00, 1.25, 1.50, 2.00)


def error_bins() -> tuple[Bin, ...]:
    """From most myopic to most hyperopic, symmetric about the middle bin of 0.13 D either way."""
    edges = ERROR_EDGES_D
    outer = list(pairwise(edges))
    below = [Bin(say(
        "{minus}{high} to {minus}{low}",
        minus=MINUS, high=f"{high:.2f}", low=f"{_next(low):.2f}",
    ), -high, -low)
             for low, high in reversed(outer)]
    above = [Bin(say(
        "+{low} to +{high}",
        low=f"{_next(low):.2f}", high=f"{high:.2f}",
    ), low, high) for low, high in outer]
    last = edges[-1]
    return (
        Bin(say("below {minus}{last}", minus=MINUS, last=f"{last:.2f}"), None, -last), *below,
        Bin(say("{minus}{edges} to +{edges}", minus=MINUS, edges=f"{edges[0]:.2f}"), -edges[0], edges[0]),
        *above, Bin(f"above +{last:.2f}", last, None),
    )


def count_errors(errors_d: Sequence[float]) -> tuple[Counted, ...]:
    """Signed errors into :func:`error_bins`."""
    half = len(ERROR_EDGES_D)
    places = [half + _side(error) * _magnitude_bin(abs(error), ERROR_EDGES_D) for error in errors_d]
    return _counted([one.label for one in error_bins()], places)


def cylinder_bins() -> tuple[Bin, ...]:
    """From the smallest cylinder up; the upper edge belongs to the bin."""
    edges = CYLINDER_EDGES_D
    middle = [Bin(say("{low} to {high}", low=f"{_next(low):.2f}", high=f"{high:.2f}"), low, high)
              for low, high in pairwise(edges)]
    return (Bin(say("up to {edges}", edges=f"{edges[0]:.2f}"), 0.0, edges[0]), *middle,
            Bin(say("above {edges}", edges=f"{edges[-1]:.2f}"), edges[-1], None))


def count_cylinders(cylinders_d: Sequence[float]) -> tuple[Counted, ...]:
    """Magnitudes of cylinders of either sign into :func:`cylinder_bins`."""
    places = [_magnitude_bin(abs(cylinder), CYLINDER_EDGES_D) for cylinder in cylinders_d]
    return _counted([one.label for one in cylinder_bins()], places)


def count_acuity(logmar: Sequence[float | None]) -> tuple[Counted, ...]:
    """Cumulative: eyes that reach each line or better.

    A line is reached at its logMAR plus :data:`ACUITY_ROUNDING`, because 0.3 is written for 20/40
    (0.301). ``None`` is an acuity of counting fingers or worse: it reaches no line and counts in
    the whole.
    """
    return tuple(
        _share(label, sum(_reaches(value, line) for value in logmar), len(logmar))
        for label, line in ACUITY_LINES
    ) if logmar else ()


def count_within(errors_d: Sequence[float]) -> tuple[Counted, ...]:
    """Cumulative: eyes within each distance of :data:`DISTANCES_D`, the distance itself within."""
    return tuple(
        _share(f"{limit:.2f}", sum(abs(error) <= limit + ROUNDING_D for error in errors_d),
               len(errors_d))
        for limit in DISTANCES_D
    ) if errors_d else ()


def line_labels() -> tuple[str, ...]:
    """Labels of whole lines, worst first."""
    worse = [say("{lines} worse", lines=lines) for lines in range(MOST_LINES - 1, 0, -1)]
    better = [say("{lines} better", lines=lines) for lines in range(1, MOST_LINES)]
    return (say(
        "{most_lines} or more worse",
        most_lines=MOST_LINES,
    ), *worse, "the same", *better, say(
        "{most_lines} or more better",
        most_lines=MOST_LINES,
    ))


def count_lines(differences_logmar: Sequence[float]) -> tuple[Counted, ...]:
    """Differences in acuity as whole lines of 0.1 logMAR; plus is worse.

    A half line is rounded away from "the same", so that it is never hidden.
    """
    places = [MOST_LINES - max(-MOST_LINES, min(MOST_LINES, _lines(one))) for one in differences_logmar]
    return _counted(list(line_labels()), places)


def _lines(difference_logmar: float) -> int:
    size = math.floor(abs(difference_logmar) / LINE_LOGMAR + 0.5 + ROUNDING_D)
    return size if difference_logmar > 0 else -size


def _reaches(value: float | None, line: float) -> bool:
    return value is not None and value <= line + ACUITY_ROUNDING


def _magnitude_bin(size: float, edges: Sequence[float]) -> int:
    return next((place for place, edge in enumerate(edges) if size <= edge + ROUNDING_D), len(edges))


def _side(value: float) -> int:
    return -1 if value < 0 else 1


def _next(edge: float) -> float:
    """The smallest value in hundredths above ``edge``, for a label."""
    return edge + 0.01


def _counted(labels: Sequence[str], places: Sequence[int]) -> tuple[Counted, ...]:
    """Each label with its count; empty when there is no value."""
    if not places:
        return ()
    counts = [0] * len(labels)
    for place in places:
        counts[place] += 1
    return tuple(_share(label, count, len(places))
                 for label, count in zip(labels, counts, strict=True))


def _share(label: str, count: int, of: int) -> Counted:
    return Counted(label, count, count / of)
