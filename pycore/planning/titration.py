"""How much haptic to cut.

Among the reachable lengths the one with the least expected squared distance of the final
refraction from the target. More cut -> lens further forward -> more myopic; cutting is a
ratchet toward myopia, so what cannot be shown to help is left undone: if the expected error
improves by less than 0.10 D, or the chance within 0.50 D by less than 5 points, there is no
useful adjustment and the lens is centred and flanged with nothing more cut. Tests:
``tests/unit/test_titration.py``, ``tests/published/test_trade_facts.py``.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from pycore.belief.outcome import FinalView, Outcome
from pycore.fixation.haptic import (
    LEAST_RECUT_MM,
    TAUT_RESERVE_MM,
    FlangePlan,
    Pair,
    cuts_mm,
    reachable_mm,
    refuse_too_short,
    taut_mm,
    without_dust,
)
from pycore.planning.minimum import minimise

#: An adjustment must gain at least this much of expected error and of chance (our judgement).
LEAST_GAIN_D: Final = 0.10
LEAST_GAIN_CHANCE: Final = 0.05
#: Going into the last half millimetre before taut must gain this much (our judgement).
LEAST_TAUT_GAIN_D: Final = 0.15
#: Below this reach the haptics cannot correct a refraction (roughly lenses under 12 D).
LEAST_REACH_D: Final = 0.25
WITHIN_D: Final = 0.50
NEIGHBOUR_STEP_MM: Final = 0.5


@dataclass(frozen=True, slots=True)
class Option:
    """One final state: mean length outside, cuts still to make, and what to expect."""

    outside_mm: float
    cut_mm: Pair
    final: Outcome


@dataclass(frozen=True, slots=True)
class Advice:
    """The advised state, what doing nothing would give, and the reach.

    ``reach`` holds nothing cut first, drawn out second. ``reason`` is a stable word:
    ``cut``, ``no_useful_adjustment``, ``one_flanged``, ``recut``, ``leave`` or ``buried``.
    """

    option: Option
    nothing: Option
    reach: tuple[Option, Option]
    neighbours: tuple[Option, ...]
    reason: str

    @property
    def no_useful_adjustment(self) -> bool:
        return self.reason not in ("cut", "recut")

    @property
    def reach_d(self) -> float:
        """Refraction from nothing cut to drawn out; negative, as drawing out is myopic."""
        return self.reach[1].final.mean_d - self.reach[0].final.mean_d


def option_at(view: FinalView, plan: FlangePlan, outside_mm: float) -> Option:
    """The option that ends at ``outside_mm``."""
    return Option(outside_mm, cuts_mm(plan, outside_mm), view.at(outside_mm))


def option_for_cuts(view: FinalView, plan: FlangePlan, cut_mm: Pair) -> Option:
    """The option that these cuts lead to, one for each haptic: ``e = c + m - b + removed``."""
    sides = (
        cut + plan.melt_mm - plan.bury_mm + removed
        for cut, removed in zip(cut_mm, plan.removed_mm, strict=True)
    )
    outside = sum(sides) / 2
    return Option(outside, cut_mm, view.at(outside))


def advise_both_free(view: FinalView, plan: FlangePlan, *, target_d: float) -> Advice:
    """Advice while both haptics are free.

    Raises :class:`pycore.errors.Infeasible` when nothing can be reached.
    """
    low, high = reachable_mm(plan)
    nothing = option_at(view, plan, low)
    best = option_at(view, plan, _best_outside_mm(view, low, high, target_d=target_d))
    useful = is_useful(best.final, nothing.final, target_d=target_d)
    return Advice(
        option=best if useful else nothing,
        nothing=nothing,
        reach=(nothing, option_at(view, plan, high)),
        neighbours=_neighbours(view, plan, best.outside_mm if useful else low),
        reason="cut" if useful else "no_useful_adjustment",
    )


def is_useful(best: Outcome, nothing: Outcome, *, target_d: float) -> bool:
    """Whether the gain over doing nothing passes both thresholds."""
    error = nothing.expected_error_d(target_d=target_d) - best.expected_error_d(target_d=target_d)
    chance = best.chance_within(WITHIN_D, target_d=target_d) - nothing.chance_within(
        WITHIN_D, target_d=target_d
    )
    return error >= LEAST_GAIN_D and chance >= LEAST_GAIN_CHANCE


def _best_outside_mm(view: FinalView, low: float, high: float, *, target_d: float) -> float:
    """Least expected squared distance, staying short of taut unless going there pays."""
    best = minimise(lambda e: view.at(e).squared_error(target_d=target_d), low=low, high=high)
    reserve = max(high - TAUT_RESERVE_MM, low)
    if best <= reserve:
        return best
    gain = abs(view.at(reserve).mean_d - target_d) - abs(view.at(best).mean_d - target_d)
    return best if gain >= LEAST_TAUT_GAIN_D else reserve


def _neighbours(view: FinalView, plan: FlangePlan, centre_mm: float) -> tuple[Option, ...]:
    """The advised length and those half a millimetre apart that can be reached."""
    low, high = reachable_mm(plan)
    steps = (centre_mm + NEIGHBOUR_STEP_MM * step for step in (-2, -1, 0, 1, 2))
    return tuple(option_at(view, plan, e) for e in steps if low - 1e-9 <= e <= high + 1e-9)


def advise_both_flanged(
    leave: FinalView, recut: FinalView, plan: FlangePlan, *, target_d: float
) -> Advice:
    """Both flanges made: leave them, or cut and melt again by at least 1.0 mm a side in all.

    ``leave`` keeps the haptics as they were at the latest reading; ``recut`` moves them.
    """
    now = nothing_now_mm(plan)
    nothing = Option(now, (0.0, 0.0), leave.at(now))
    low, high = now + max(LEAST_RECUT_MM, plan.melt_mm), taut_mm(plan)
    if low > high:
        return _only(nothing, "leave")
    best = _recut_option(recut, plan, _best_outside_mm(recut, low, high, target_d=target_d))
    useful = is_useful(best.final, nothing.final, target_d=target_d)
    return Advice(
        option=best if useful else nothing,
        nothing=nothing,
        reach=(nothing, _recut_option(recut, plan, high)),
        neighbours=(nothing, best),
        reason="recut" if useful else "leave",
    )


def _recut_option(view: FinalView, plan: FlangePlan, outside_mm: float) -> Option:
    """A new cut and a new melt together take the whole difference off each side."""
    cut = without_dust(outside_mm - nothing_now_mm(plan) - plan.melt_mm)
    return Option(outside_mm, (cut, cut), view.at(outside_mm))


def nothing_now_mm(plan: FlangePlan) -> float:
    """Mean length to the original tips with the flanges where they are now."""
    return (plan.removed_mm[0] + plan.removed_mm[1]) / 2 - plan.bury_mm


def advise_one_flanged(view: FinalView, plan: FlangePlan, *, flanged: int) -> Advice:
    """One flange made: the other haptic only centres the lens; no refractive advice.

    The free side is given the length that keeps the centred difference, is left uncut when
    that would need haptic back that has already been removed, and ends taut when it cannot be
    drawn out that far. Raises
    :class:`pycore.errors.Infeasible` when the free side is too short for its flange.
    """
    fixed = plan.removed_mm[flanged] - plan.bury_mm
    sign = 1.0 if flanged == 0 else -1.0
    wanted = fixed - sign * 2 * plan.half_difference_mm
    least = plan.melt_mm - plan.bury_mm + plan.removed_mm[1 - flanged]
    refuse_too_short(plan, least, plan.drawn_out_mm)
    free = min(max(wanted, least), plan.drawn_out_mm)
    cut = free - least
    option = Option(
        (fixed + free) / 2, (0.0, cut) if flanged == 0 else (cut, 0.0), view.at((fixed + free) / 2)
    )
    return _only(option, "one_flanged")


def advise_buried(view: FinalView, plan: FlangePlan) -> Advice:
    """Both flanges buried: what to expect, and nothing left to adjust."""
    now = nothing_now_mm(plan)
    return _only(Option(now, (0.0, 0.0), view.at(now)), "buried")


def _only(option: Option, reason: str) -> Advice:
    return Advice(option, option, (option, option), (option,), reason)
