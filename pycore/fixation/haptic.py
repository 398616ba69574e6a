"""Haptic arithmetic: lengths outside, cuts, and what has been done to each haptic.

``e`` is measured from the scleral opening to the haptic's *original* tip: length outside
now plus everything already cut or melted. With ``c`` cut, ``m`` melted and the flange's
inner shoulder buried ``b`` below the surface, the final length is ``e = c + m - b``; so the
cut still to make is ``c = e - m + b - removed``. The mean over both sides sets the depth
of the optic, half the difference its centration. Test: ``tests/unit/test_haptic.py``.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from pycore.errors import Infeasible
from pycore.words import say

#: Under this the flange may slip through; melt of 1.0 mm is usual (Am J Ophthalmol
#: laboratory study of flange pull-out; 0.5-1.0 mm from forceps to tip, Amado, JCRS Online
#: Case Rep 2023;11:e00089). The two limits are our judgement.
SLIP_RISK_MELT_MM: Final = 0.8
NOT_BURIED_MM: Final = 0.2
#: Flanges already made: re-heating or re-cutting takes at least this much (common practice).
LEAST_RECUT_MM: Final = 1.0
#: A haptic this far short of taut can still be drawn a little if needed (our judgement).
TAUT_RESERVE_MM: Final = 0.5

Pair = tuple[float, float]


@dataclass(frozen=True, slots=True)
class FlangePlan:
    """How each haptic will be ended, and how far it can be drawn out."""

    drawn_out_mm: float
    melt_mm: float = 1.0
    bury_mm: float = 0.3
    removed_mm: Pair = (0.0, 0.0)
    centred_outside_mm: Pair | None = None

    @property
    def half_difference_mm(self) -> float:
        """Half the difference between the centred lengths (first minus second)."""
        if self.centred_outside_mm is None:
            return 0.0
        return (self.centred_outside_mm[0] - self.centred_outside_mm[1]) / 2


def sides_mm(plan: FlangePlan, outside_mm: float) -> Pair:
    """Length outside of each haptic for a mean; the same shift for both sides."""
    half = plan.half_difference_mm
    return outside_mm + half, outside_mm - half


def cuts_mm(plan: FlangePlan, outside_mm: float) -> Pair:
    """What is still to be cut from each haptic; negative means it cannot be reached."""
    first, second = sides_mm(plan, outside_mm)
    return _cut(plan, first, plan.removed_mm[0]), _cut(plan, second, plan.removed_mm[1])


def _cut(plan: FlangePlan, side_mm: float, removed_mm: float) -> float:
    return without_dust(side_mm - plan.melt_mm + plan.bury_mm - removed_mm)


def without_dust(cut_mm: float) -> float:
    """Rounding dust below a nanometre is zero, so that "nothing" is exactly nothing."""
    return 0.0 if abs(cut_mm) < 1e-6 else cut_mm


def nothing_cut_mm(plan: FlangePlan) -> float:
    """Least reachable mean length outside: the shorter side is not cut any further."""
    half = plan.half_difference_mm
    base = plan.melt_mm - plan.bury_mm
    return max(base + plan.removed_mm[0] - half, base + plan.removed_mm[1] + half)


def taut_mm(plan: FlangePlan) -> float:
    """Greatest reachable mean length outside: the longer side is taut."""
    return plan.drawn_out_mm - abs(plan.half_difference_mm)


def reachable_mm(plan: FlangePlan) -> Pair:
    """From nothing cut to taut.

    Raises :class:`Infeasible` when melting needs more haptic than can be drawn out.
    """
    low, high = nothing_cut_mm(plan), taut_mm(plan)
    refuse_too_short(plan, low, high)
    return low, high


def refuse_too_short(plan: FlangePlan, low: float, high: float) -> None:
    """Raise :class:`Infeasible` when a flange needs ``low`` mm and only ``high`` can be had."""
    if low > high:
        raise Infeasible(
            say(
                "Melting {melt_mm} mm needs {low} mm outside, but only {high} mm can be drawn out. Melt "
                "less, or measure again what is outside and what was removed.",
                melt_mm=f"{plan.melt_mm:g}", low=f"{low:.2f}", high=f"{high:.2f}",
            ),
            field="haptic.melt_mm",
        )
