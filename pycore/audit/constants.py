"""The constant that zeroes a formula's mean error, and the formulas compared after that.

An eye of a formula is its own length ``L``, lens position ``d`` (at the formula's constant, for
the haptic length left), corneal power ``Dc`` and the lens implanted. Shifting the constant by
``c`` moves the lens by ``c`` times the formula's position per constant. With ``PE = achieved -
R(L, d + position, Dc, P)``::

    zero the mean: c <- c + mean(PE) / mean(dR/dc)        until |mean(PE)| < 1e-4 D
    interval     : c -/+ t(m - 1) SE(PE) / mean(dR/dc)    m persons, SE over persons
    shrunk       : w c,  w = tau^2 / (tau^2 + s^2/m / mean(dR/dc)^2)
    s^2          = (10 * 0.60^2 + (n - 1) SD^2) / (10 + n - 1)

A shift, so that lenses with different label constants may stand in one series; for one lens it
is the constant itself less the label's. ``tau`` is how far a surgeon's own lens position strays
from the label, 0.20 mm (the surgeon's own part of the position spread the planning assumes); the
0.60 D, weighted as ten eyes, keeps three lucky eyes from looking certain (our judgement). Zeroing
the mean is not the mean of each eye's own constant, because ``dR/dc`` differs between eyes.

Source: zero each formula's mean before comparing, Hoffer KJ et al., Am J Ophthalmol 2015;160:403-405;
Newton steps: our derivation, agreeing with Langenbucher A et al., PLoS One 2022, e0267352. Checked by
``tests/reference/test_series_reference.py`` and ``tests/limits/test_constants_zeroed.py``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from pycore.audit.clusters import Estimate, persons_of, standard_error
from pycore.audit.statistics import mean, standard_deviation
from pycore.audit.student import t_central
from pycore.errors import GuylineError
from pycore.optics.vergence import refraction_and_slopes, refraction_d

#: Eyes of one lens below which the label's constant should stay (common practice, no source).
ENOUGH_EYES: Final = 30
#: How far a surgeon's own lens position strays from the label's, SD in mm (our assumption).
OWN_POSITION_SD_MM: Final = 0.20
#: Spread assumed of one eye's error and its weight in eyes (our judgement).
USUAL_SD_D: Final = 0.60
USUAL_SD_EYES: Final = 10
#: The mean error counts as zeroed below this, D.
ZEROED_D: Final = 1e-4
MOST_STEPS: Final = 12
#: The first step's slope needs no more eyes than this; later steps measure it.
SLOPE_EYES: Final = 100


@dataclass(frozen=True, slots=True)
class FormulaEye:
    """One eye as one formula sees it, with what was achieved."""

    axial_length_mm: float
    lens_position_mm: float
    corneal_power_d: float
    lens_power_d: float
    achieved_d: float


@dataclass(frozen=True, slots=True)
class Zeroed:
    """The shift of a formula's constant that zeroes its mean error, and the errors after it.

    ``shift`` is ``None`` in its ends below two persons. ``errors_d`` stand at the full shift,
    ``before_d`` is the mean error at the label's constants.
    """

    shift: Estimate
    shrunk: float
    weight: float
    before_d: float
    errors_d: tuple[float, ...]


def zero_mean(
    eyes: Sequence[FormulaEye], persons: Sequence[str], *, position_per_constant: float
) -> Zeroed | None:
    """The shift that zeroes the mean error of ``eyes``; ``None`` without eyes or where no image forms."""
    if not eyes:
        return None
    try:
        slope = position_per_constant * mean([_slope(eye) for eye in eyes[:SLOPE_EYES]])
        return _zeroed(eyes, persons, position_per_constant, slope)
    except GuylineError:
        return None


def _zeroed(
    eyes: Sequence[FormulaEye], persons: Sequence[str], per_constant: float, slope: float
) -> Zeroed | None:
    before = errors = _errors(eyes, 0.0)
    shift, found = 0.0, mean(errors)
    for _ in range(MOST_STEPS):
        if abs(found) < ZEROED_D:
            break
        step = found / slope
        shift += step
        errors = _errors(eyes, shift * per_constant)
        after = mean(errors)
        slope = (found - after) / step
        found = after
    else:
        return None
    weight = _weight(errors, persons, abs(slope), per_constant)
    return Zeroed(_interval(shift, errors, persons, slope), weight * shift, weight,
                  mean(before), tuple(errors))


def _slope(eye: FormulaEye) -> float:
    """Change of the predicted refraction per mm of lens position."""
    return refraction_and_slopes(
        axial_length_mm=eye.axial_length_mm, lens_position_mm=eye.lens_position_mm,
        corneal_power_d=eye.corneal_power_d, lens_power_d=eye.lens_power_d,
    ).per_lens_position


def _errors(eyes: Sequence[FormulaEye], moved_mm: float) -> list[float]:
    """Achieved less predicted with every lens ``moved_mm`` further back."""
    return [
        eye.achieved_d - refraction_d(
            axial_length_mm=eye.axial_length_mm, lens_position_mm=eye.lens_position_mm + moved_mm,
            corneal_power_d=eye.corneal_power_d, lens_power_d=eye.lens_power_d,
        )
        for eye in eyes
    ]


def _interval(
    shift: float, errors: Sequence[float], persons: Sequence[str], slope: float
) -> Estimate:
    error = standard_error(errors, persons)
    if error is None:
        return Estimate(shift, None, None)
    half = t_central(persons_of(persons) - 1) * error / abs(slope)
    return Estimate(shift, shift - half, shift + half)


def _weight(
    errors: Sequence[float], persons: Sequence[str], slope: float, per_constant: float
) -> float:
    """How much of the shift to believe: near 0 for few eyes, near 1 for many."""
    spread, count = standard_deviation(errors) or 0.0, len(errors)
    square = USUAL_SD_EYES * USUAL_SD_D**2 + (count - 1) * spread**2
    square /= USUAL_SD_EYES + count - 1
    own = (OWN_POSITION_SD_MM / per_constant) ** 2
    return own / (own + square / persons_of(persons) / slope**2)
