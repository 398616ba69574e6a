"""A grid on paper: two readings, one at each end of the haptics' reach, and the cut they call for.

Rows are the reading with the haptics drawn out, columns the reading with them pushed in; each
cell is the advice of :func:`pycore.planning.titrate.decide` for just these two readings of
this eye. It serves when the phone cannot: a cut from the grid uses two readings where the
screen uses all of them. Cells that call for another reading instead of a cut say so by a
status code, never by a number. Tests: ``tests/unit/test_paper_grid.py``.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from pycore.belief.eye import predict_reading
from pycore.belief.readings import Reading, prior_belief
from pycore.errors import OpticsError
from pycore.planning.titrate import REPEAT_GROSS_CHANCE, Case, decide
from pycore.planning.titration import WITHIN_D, Advice

#: Steps of both readings: what the paper can tell apart is half of an aberrometer's noise SD.
STEP_D: Final = 0.25
#: Rows and columns: wide enough for about 1.5 D either side of the plan, small enough for a page.
ROWS: Final = 13
COLUMNS: Final = 13
#: Callipers are set to half millimetres (common practice, no source).
CALLIPER_STEP_MM: Final = 0.5


@dataclass(frozen=True, slots=True)
class Ends:
    """Mean lengths outside at which the two readings are taken, how sure, and the noise."""

    drawn_out_mm: float
    pushed_in_mm: float
    length_sd_mm: float
    instrument: str
    noise_sd_d: float


@dataclass(frozen=True, slots=True)
class Cell:
    """``cut``: cut ``cut_mm`` from each haptic. ``none``: no useful adjustment, centre and
    flange. ``far``: the target lies beyond the haptics' reach. ``read_again``: a reading is
    doubtful, or no eye could read so.
    """

    status: str
    cut_mm: float | None = None


@dataclass(frozen=True, slots=True)
class PaperGrid:
    """Readings in dioptres along both edges, and ``cells[row][column]``."""

    drawn_out_d: tuple[float, ...]
    pushed_in_d: tuple[float, ...]
    cells: tuple[tuple[Cell, ...], ...]


def paper_grid(case: Case, ends: Ends, *, rows: int = ROWS, columns: int = COLUMNS) -> PaperGrid:
    """The grid of ``case``, centred on the readings that its plan predicts.

    ``case`` carries no readings of its own; both haptics are free.
    """
    drawn = _edge_d(case, ends, ends.drawn_out_mm, rows)
    pushed = _edge_d(case, ends, ends.pushed_in_mm, columns)
    cells = tuple(tuple(_cell(case, ends, out, inside) for inside in pushed) for out in drawn)
    return PaperGrid(drawn, pushed, cells)


def _edge_d(case: Case, ends: Ends, outside_mm: float, count: int) -> tuple[float, ...]:
    """Quarter dioptres about the expected reading, most myopic first."""
    belief = prior_belief(case.priors)
    expected = predict_reading(
        case.eye, belief.mean, outside_mm=outside_mm, instrument=ends.instrument, latest=False
    )
    middle = round(expected.value_d / STEP_D)
    return tuple((middle + step) * STEP_D for step in range(-(count // 2), count - count // 2))


def _cell(case: Case, ends: Ends, drawn_out_d: float, pushed_in_d: float) -> Cell:
    readings = _readings(ends, drawn_out_d, pushed_in_d)
    try:
        after, advice = decide(replace(case, readings=readings))
    except OpticsError:
        return Cell("read_again")
    if max(after.gross) > REPEAT_GROSS_CHANCE:
        return Cell("read_again")
    if not advice.no_useful_adjustment:
        return Cell("cut", on_callipers_mm(advice.option.cut_mm))
    return Cell("none" if _within_reach(advice, case.target_d) else "far")


def _within_reach(advice: Advice, target_d: float) -> bool:
    """Whether some cut would bring the expected refraction to within half a dioptre."""
    hyperopic, myopic = (option.final.mean_d - target_d for option in advice.reach)
    return hyperopic >= -WITHIN_D and myopic <= WITHIN_D


def on_callipers_mm(cut_mm: Sequence[float]) -> float:
    """The cut of either side on the callipers' scale; between two marks the smaller one.

    Cutting cannot be undone, so a cut is rounded down unless it lies within a tenth of a
    millimetre of the next mark.
    """
    least = min(cut_mm)
    return math.floor((least + 0.1) / CALLIPER_STEP_MM) * CALLIPER_STEP_MM


def _readings(ends: Ends, drawn_out_d: float, pushed_in_d: float) -> tuple[Reading, ...]:
    places = ((ends.drawn_out_mm, drawn_out_d), (ends.pushed_in_mm, pushed_in_d))
    return tuple(
        Reading(length, value, ends.instrument, ends.noise_sd_d, placement, ends.length_sd_mm)
        for placement, (length, value) in enumerate(places)
    )
