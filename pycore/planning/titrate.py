"""One titration: from biometry and readings to the advice, in one call on plain numbers.

Joins the belief (:mod:`pycore.belief`) with the decisions (:mod:`pycore.planning`): which
advice applies depends on what has been done to the haptics, so the states are a registry.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

from pycore.belief.calibration import UNCALIBRATED, Calibration
from pycore.belief.eye import EyeModel
from pycore.belief.gaussian import Gaussian
from pycore.belief.outcome import FinalView
from pycore.belief.priors import Prior
from pycore.belief.readings import After, Reading, after_readings, prior_belief
from pycore.errors import Inconsistent
from pycore.fixation.haptic import FlangePlan
from pycore.planning.next_reading import SAME_PLACEMENT_MM, NextReading, next_reading
from pycore.planning.titration import (
    Advice,
    advise_both_flanged,
    advise_both_free,
    advise_buried,
    advise_one_flanged,
    nothing_now_mm,
)

#: Above this chance of being gross a reading should be repeated.
REPEAT_GROSS_CHANCE: Final = 0.2
#: Above this one the advice is shown with and without it.
NAME_GROSS_CHANCE: Final = 0.3


@dataclass(frozen=True, slots=True)
class Case:
    """Everything the advice rests on, as plain numbers.

    ``haptic_state`` is ``both_free``, ``one_flanged``, ``both_flanged`` or ``buried``;
    ``flanged`` says which side (0 or 1) when one is.
    """

    eye: EyeModel
    priors: dict[str, Prior]
    readings: tuple[Reading, ...]
    plan: FlangePlan
    target_d: float
    haptic_state: str = "both_free"
    flanged: int = 0
    instrument: str = "aberrometer"
    calibration: Calibration = UNCALIBRATED


@dataclass(frozen=True, slots=True)
class Titration:
    """The belief after the readings, the advice, and what to read next."""

    after: After
    view: FinalView
    advice: Advice
    next: NextReading


def titrate(case: Case) -> Titration:
    """Belief, advice and next reading for ``case``.

    Raises :class:`pycore.errors.Infeasible` when nothing can be reached,
    :class:`pycore.errors.Inconsistent` for a flange that took no haptic and
    :class:`pycore.errors.OpticsError` when no image can be formed.
    """
    after, advice = decide(case)
    view = _view(case, after.belief)
    return Titration(after, view, advice, _next(case, view, advice))


def decide(case: Case) -> tuple[After, Advice]:
    """Belief and advice alone, without what to read next; raises as :func:`titrate`."""
    _refuse_unmade_flanges(case)
    after = after_readings(case.eye, prior_belief(case.priors), case.readings)
    return after, _ADVISERS[case.haptic_state](case, after.belief)


def without_doubtful(case: Case, titration: Titration) -> tuple[int, Titration] | None:
    """The most doubtful reading and the titration without it, when one must be named."""
    gross = titration.after.gross
    worst = max(range(len(gross)), key=gross.__getitem__, default=None)
    if worst is None or gross[worst] <= NAME_GROSS_CHANCE:
        return None
    kept = case.readings[:worst] + case.readings[worst + 1 :]
    return worst, titrate(replace(case, readings=kept))


def _next(case: Case, view: FinalView, advice: Advice) -> NextReading:
    if case.haptic_state != "both_free":
        return NextReading("none", "anywhere", None, 0.0)
    return next_reading(
        view,
        case.plan,
        case.readings,
        advice,
        target_d=case.target_d,
        noise_sd_d=case.calibration.noise_sd_d[case.instrument],
        instrument=case.instrument,
    )


def _both_free(case: Case, belief: Gaussian) -> Advice:
    return advise_both_free(_view(case, belief), case.plan, target_d=case.target_d)


def _one_flanged(case: Case, belief: Gaussian) -> Advice:
    return advise_one_flanged(_view(case, belief), case.plan, flanged=case.flanged)


def _both_flanged(case: Case, belief: Gaussian) -> Advice:
    return advise_both_flanged(
        _unmoved(case, belief), _view(case, belief), case.plan, target_d=case.target_d
    )


def _buried(case: Case, belief: Gaussian) -> Advice:
    return advise_buried(_unmoved(case, belief), case.plan)


def _unmoved(case: Case, belief: Gaussian) -> FinalView:
    """Nothing moves any more; the latest slip is kept only if a reading was taken there."""
    now = nothing_now_mm(case.plan)
    there = bool(case.readings) and abs(case.readings[-1].outside_mm - now) <= SAME_PLACEMENT_MM
    return _view(case, belief, unmoved=there)


def _view(case: Case, belief: Gaussian, *, unmoved: bool = False) -> FinalView:
    factor = case.calibration.factor(read=bool(case.readings))
    return FinalView.of(case.eye, belief, unmoved=unmoved, factor=factor)


def _refuse_unmade_flanges(case: Case) -> None:
    """A flange takes haptic: without it, where the optic sits now would be a guess."""
    sides = {"one_flanged": (case.flanged,), "both_flanged": (0, 1), "buried": (0, 1)}
    for side in sides.get(case.haptic_state, ()):
        if case.plan.removed_mm[side] <= 0.0:
            raise Inconsistent(
                "A haptic has its flange, but nothing was cut or melted from it. Enter how much was "
                "removed, melted end included.",
                field=f"haptic.removed_mm[{side}]",
            )


_ADVISERS: Final[dict[str, Callable[[Case, Gaussian], Advice]]] = {
    "both_free": _both_free,
    "one_flanged": _one_flanged,
    "both_flanged": _both_flanged,
    "buried": _buried,
}
