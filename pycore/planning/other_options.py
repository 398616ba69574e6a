"""What else could help when the target is out of reach of haptic length.

Accepting the result is always an option and stands first. Another lens is offered only when
the predicted residual after titration is at least 1.00 D and the chance within 0.50 D would
rise by at least 25 points; never once a haptic is flanged unless it is reopened, and not for
a hyperopic surprise in a soft eye, whose reading cannot be trusted. The thresholds are our
judgement. Another entry distance is looked at by :mod:`pycore.planning.another_entry`. Tests:
``tests/unit/test_other_options.py``.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final

from pycore.belief.eye import REFERENCE_OUTSIDE_MM, EyeModel
from pycore.belief.gaussian import Gaussian
from pycore.belief.outcome import FinalView
from pycore.belief.second_lens import for_second_lens
from pycore.planning.lens_choice import LensOutlook, outlook_from
from pycore.planning.titrate import Case, Titration
from pycore.planning.titration import WITHIN_D

LEAST_RESIDUAL_D: Final = 1.00
LEAST_CHANCE_GAIN: Final = 0.25
#: Below this pressure an eye reads hyperopic because it is soft (10 mmHg: about +0.15 D).
SOFT_EYE_MMHG: Final = 10.0

#: Lenses that would rest nearest the target are looked at in full; the best is among them.
_MOST_LENSES: Final = 4

COSTS: Final = (
    "a larger wound and its astigmatism",
    "corneal endothelium",
    "vitreous traction and the retina",
)


@dataclass(frozen=True, slots=True)
class AnotherLens:
    """The best other lens, and every condition that still speaks against it.

    ``unmet`` holds stable words; the lens is offered only when it is empty.
    """

    outlook: LensOutlook
    eye: EyeModel
    chance_now: float
    residual_d: float
    unmet: tuple[str, ...]

    @property
    def offered(self) -> bool:
        return not self.unmet

    @property
    def gain(self) -> float:
        """Rise of the chance within 0.50 D."""
        return self.outlook.titrated_within_050 - self.chance_now


def another_lens(
    case: Case,
    titration: Titration,
    powers_d: Iterable[float],
    *,
    same_model: bool = True,
    iop_mmhg: float | None = None,
    least_residual_d: float = LEAST_RESIDUAL_D,
) -> AnotherLens | None:
    """The best of ``powers_d`` by chance after titration; ``None`` when there is no other.

    ``least_residual_d`` is the residual after titration (D) from which another lens may be
    offered at all; other values than the product's are for the bench that compares them.
    """
    lenses = (Second(replace(case.eye, lens_power_d=power), same_model) for power in powers_d)
    return best_of(
        case, titration, lenses, iop_mmhg=iop_mmhg, least_residual_d=least_residual_d
    )


@dataclass(frozen=True, slots=True)
class Second:
    """A lens that could take the place of the first: its eye, and whether it is the same model."""

    eye: EyeModel
    same_model: bool


def best_of(
    case: Case,
    titration: Titration,
    lenses: Iterable[Second],
    *,
    iop_mmhg: float | None = None,
    least_residual_d: float = LEAST_RESIDUAL_D,
) -> AnotherLens | None:
    """The best of ``lenses`` whose power differs, each in an eye of its own constants."""
    others = [lens for lens in lenses if lens.eye.lens_power_d != case.eye.lens_power_d]
    if not others or not case.readings:
        return None
    seconds = (_second(case, titration, lens) for lens in others)
    near = sorted(seconds, key=lambda second: second.distance_d(case))[:_MOST_LENSES]
    outlooks = [(second.outlook(case), second.eye) for second in near]
    best, eye = max(outlooks, key=lambda found: found[0].titrated_within_050)
    final = titration.advice.option.final
    residual = final.mean_d - case.target_d
    chance = final.chance_within(WITHIN_D, target_d=case.target_d)
    gain = best.titrated_within_050 - chance
    unmet = reasons_against(case, titration, gain, iop_mmhg=iop_mmhg, least_residual_d=least_residual_d)
    return AnotherLens(best, eye, chance, residual, unmet)


@dataclass(frozen=True, slots=True)
class _Second:
    """The eye with another lens, and what is believed about it."""

    eye: EyeModel
    belief: Gaussian

    def distance_d(self, case: Case) -> float:
        """How far from target this lens would rest without titration."""
        resting = FinalView.of(self.eye, self.belief).linear(REFERENCE_OUTSIDE_MM)
        return abs(resting.value_d - case.target_d)

    def outlook(self, case: Case) -> LensOutlook:
        plan = replace(case.plan, removed_mm=(0.0, 0.0), centred_outside_mm=None)
        return outlook_from(
            self.eye,
            self.belief,
            plan,
            target_d=case.target_d,
            instrument=case.instrument,
            calibration=case.calibration,
        )


def _second(case: Case, titration: Titration, lens: Second) -> _Second:
    belief = for_second_lens(
        titration.after.belief, case.priors, lens_power_d=lens.eye.lens_power_d, same_model=lens.same_model
    )
    return _Second(lens.eye, belief)


def reasons_against(
    case: Case,
    titration: Titration,
    gain: float,
    *,
    iop_mmhg: float | None,
    least_residual_d: float = LEAST_RESIDUAL_D,
) -> tuple[str, ...]:
    """What speaks against opening the eye again for ``gain`` more chance within 0.50 D."""
    residual = titration.advice.option.final.mean_d - case.target_d
    return tuple(_unmet(case, residual, gain, iop_mmhg, least_residual_d))


def _unmet(
    case: Case, residual_d: float, gain: float, iop_mmhg: float | None, least_residual_d: float
) -> Iterable[str]:
    if abs(residual_d) < least_residual_d:
        yield "residual_small"
    if gain < LEAST_CHANCE_GAIN:
        yield "gain_small"
    if case.haptic_state != "both_free":
        yield "flanged"
    if residual_d > 0 and iop_mmhg is not None and iop_mmhg < SOFT_EYE_MMHG:
        yield "soft_eye"
    if len(case.readings) < 2:
        yield "not_repeated"
