"""The second route: what the aphakic refraction says about length and cornea.

Before the lens is in, the eye's own refraction depends on length and cornea only. With the base
formula's optical length ``L`` and corneal power ``Dc`` (deviations ``dL``, ``dK`` unknown)::

    Rc = 1336 / (L + dL) - (Dc + dK)          at the cornea
    y  = Rc / (1 + V Rc / 1000) + bias + noise        at 12 mm vertex

which is the refractive vergence relation (Holladay JT, Am J Ophthalmol 1993;116:63-66, equation
from memory) with an aphakic eye in front. Two routes to the lens power for a target ``T``::

    from biometry     P = 1336/(L + dL - d) - u(Dc + dK + Tc)
    from refraction   P = u(Dc + dK + Rc) - u(Dc + dK + Tc)      u(z) = 1336 z / (1336 - d z)

Both share the lens position ``d``, so its error cannot tell them apart: ``sd_d`` leaves it out,
``total_sd_d`` has it. The two are then combined by conditioning the belief of (``dL``, ``dK``) on
``y``; the reading may be gross (:data:`pycore.belief.priors.GROSS_CHANCE`), and both hypotheses
are merged, so a wild reading moves little. Afterwards length and cornea are correlated.

Signs: minus is myopic; a disagreement above zero says the eye reads more hyperopic than biometry
expects (shorter, or a flatter cornea), so that more lens power is needed. Raises
:class:`~pycore.errors.OpticsError` where no image forms. Tests: tests/limits/test_aphakic.py,
tests/published/checks_second_route.py.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from pycore.belief.gaussian import Gaussian, Linearised, Posterior, merge, observe
from pycore.belief.normal import CENTRAL_80
from pycore.belief.priors import GROSS_CHANCE, GROSS_SD_D, Prior
from pycore.formulas.eye import ThinEye
from pycore.optics.vergence import (
    Slopes,
    lens_power_d,
    power_for_change_d,
    refraction_and_slopes,
    to_corneal_plane_d,
    vergence_at_lens_d,
)
from pycore.units import AQUEOUS_INDEX_MM, STANDARD_VERTEX_MM

#: One aphakic reading. Aberrometer 0.40 (three good repeats were had in only 43 % of 74 aphakic
#: eyes, Huelle JO et al., Br J Ophthalmol 2016; the size is our assumption). Retinoscope: same
#: examiner 95 % limits -0.90 to +0.78 D, SD 0.43 (Ulster series, 108 children). Autorefractor:
#: our assumption, widened like the aberrometer's.
APHAKIC_NOISE_SD_D: Final = {"aberrometer": 0.40, "retinoscope": 0.45, "autorefractor": 0.48}
#: Bias of the instrument on a soft, open eye: our assumption, as for readings with the lens in.
INSTRUMENT_BIAS_SD_D: Final = 0.20
#: A formula's length and corneal power are fitted to eyes with a lens: for the same average eye
#: the four formulas expect aphakic refractions 0.6 D apart (computed). Our assumption.
FORMULA_BIAS_SD_D: Final = 0.25
#: Both together, as the bias of the aphakic reading.
APHAKIC_BIAS: Final = Prior(0.0, math.hypot(INSTRUMENT_BIAS_SD_D, FORMULA_BIAS_SD_D))

#: Beyond this many SDs the two routes contradict each other and an input must be rechecked.
RECHECK_SDS: Final = 2.5

#: The two unknowns' names in the belief.
LENGTH: Final = "axial_length_mm"
CORNEA: Final = "corneal_power_d"

_STEPS: Final = 12
_CONVERGED: Final = 1e-10


@dataclass(frozen=True, slots=True)
class AphakicReading:
    """Spherical equivalent of the eye without a lens, at 12 mm vertex, and what it is worth."""

    refraction_d: float
    noise_sd_d: float
    bias: Prior = APHAKIC_BIAS

    @property
    def unbiased_d(self) -> float:
        """The reading less the mean of its bias."""
        return self.refraction_d - self.bias.mean

    @property
    def variance(self) -> float:
        """Noise and bias together, D squared."""
        return self.noise_sd_d**2 + self.bias.sd**2


@dataclass(frozen=True, slots=True)
class LengthAndCornea:
    """Belief of the deviations of axial length (mm) and corneal power (D, the formula's own)."""

    length: Prior
    cornea: Prior
    correlation: float = 0.0

    def gaussian(self) -> Gaussian:
        """The same as a mean vector and a covariance matrix, length first."""
        shared = self.correlation * self.length.sd * self.cornea.sd
        return Gaussian(
            (self.length.mean, self.cornea.mean),
            ((self.length.sd**2, shared), (shared, self.cornea.sd**2)),
        )

    @classmethod
    def of(cls, belief: Gaussian) -> LengthAndCornea:
        """The inverse of :meth:`gaussian`; nothing is correlated with a certain value."""
        first, second = belief.sd(0), belief.sd(1)
        certain = first == 0.0 or second == 0.0
        return cls(
            Prior(belief.mean[0], first),
            Prior(belief.mean[1], second),
            0.0 if certain else belief.covariance[0][1] / (first * second),
        )


@dataclass(frozen=True, slots=True)
class Route:
    """A lens power with its SD: of the measurements alone, and with the lens position's."""

    power_d: float
    sd_d: float
    total_sd_d: float

    @property
    def low80_d(self) -> float:
        return self.power_d - CENTRAL_80 * self.total_sd_d

    @property
    def high80_d(self) -> float:
        return self.power_d + CENTRAL_80 * self.total_sd_d


@dataclass(frozen=True, slots=True)
class SecondRoute:
    """Both routes apart, how far they disagree, and both combined.

    ``surprise_d`` is measured minus expected aphakic refraction, ``surprise_sds`` the same in
    SDs; ``gross`` the chance that the reading is gross; ``belief`` what length and cornea are
    after it.
    """

    biometry: Route
    aphakic: Route
    combined: Route
    expected_d: float
    surprise_d: float
    surprise_sds: float
    gross: float
    belief: LengthAndCornea

    @property
    def recheck(self) -> bool:
        """Whether the routes contradict each other."""
        return abs(self.surprise_sds) > RECHECK_SDS


def second_route(
    eye: ThinEye,
    before: LengthAndCornea,
    reading: AphakicReading,
    *,
    target_d: float,
    position_sd_mm: float,
) -> SecondRoute:
    """Both routes to the lens power for ``target_d`` and their combination."""
    expected = aphakic_slopes(eye, before.gaussian().mean)
    surprise = reading.unbiased_d - expected.refraction_d
    after, gross = after_aphakic(eye, before, reading)
    return SecondRoute(
        biometry=power_route(eye, before, target_d=target_d, position_sd_mm=position_sd_mm),
        aphakic=aphakic_route(eye, before, reading, target_d=target_d, position_sd_mm=position_sd_mm),
        combined=power_route(eye, after, target_d=target_d, position_sd_mm=position_sd_mm),
        expected_d=expected.refraction_d,
        surprise_d=surprise,
        surprise_sds=surprise / math.sqrt(_surprise_variance(before, reading, expected)),
        gross=gross,
        belief=after,
    )


def after_aphakic(
    eye: ThinEye, before: LengthAndCornea, reading: AphakicReading
) -> tuple[LengthAndCornea, float]:
    """Length and cornea after the reading, and the chance that the reading is gross."""
    prior = before.gaussian()
    plain = _conditioned(eye, prior, reading, reading.variance)
    wild = _conditioned(eye, prior, reading, reading.variance + GROSS_SD_D**2)
    odds = GROSS_CHANCE / (1.0 - GROSS_CHANCE) * math.exp(
        min(wild.log_density - plain.log_density, 600.0)
    )
    gross = odds / (1.0 + odds)
    merged = merge([(1.0 - gross, plain.belief), (gross, wild.belief)])
    return LengthAndCornea.of(merged), gross


def aphakic_slopes(eye: ThinEye, deviations: tuple[float, ...]) -> Slopes:
    """Expected aphakic refraction at 12 mm with its derivatives; the lens position drops out."""
    return refraction_and_slopes(
        axial_length_mm=eye.axial_length_mm + deviations[0],
        lens_position_mm=eye.lens_position_mm,
        corneal_power_d=eye.corneal_power_d + deviations[1],
        lens_power_d=0.0,
    )


def power_route(
    eye: ThinEye, belief: LengthAndCornea, *, target_d: float, position_sd_mm: float
) -> Route:
    """Lens power from length and cornea; slopes by the implicit function of the refraction."""
    gaussian = belief.gaussian()
    power = lens_power_d(
        axial_length_mm=eye.axial_length_mm + gaussian.mean[0],
        lens_position_mm=eye.lens_position_mm,
        corneal_power_d=eye.corneal_power_d + gaussian.mean[1],
        refraction_d=target_d,
    )
    slopes = refraction_and_slopes(
        axial_length_mm=eye.axial_length_mm + gaussian.mean[0],
        lens_position_mm=eye.lens_position_mm,
        corneal_power_d=eye.corneal_power_d + gaussian.mean[1],
        lens_power_d=power,
    )
    per = -1.0 / slopes.per_lens_power
    variance = gaussian.variance_along((slopes.per_axial_length * per, slopes.per_corneal_power * per))
    return _route(power, variance, slopes.per_lens_position * per * position_sd_mm)


def aphakic_route(
    eye: ThinEye,
    belief: LengthAndCornea,
    reading: AphakicReading,
    *,
    target_d: float,
    position_sd_mm: float,
) -> Route:
    """Lens power from the aphakic refraction; the axial length is not used."""
    cornea = eye.corneal_power_d + belief.cornea.mean
    power = power_for_change_d(
        present_refraction_d=reading.unbiased_d,
        target_d=target_d,
        corneal_power_d=cornea,
        lens_position_mm=eye.lens_position_mm,
    )
    present = _at_lens(eye, cornea, reading.unbiased_d)
    target = _at_lens(eye, cornea, target_d)
    variance = (present.per_cornea * present.vertex) ** 2 * reading.variance
    variance += (present.per_cornea - target.per_cornea) ** 2 * belief.cornea.sd**2
    return _route(power, variance, (present.per_position - target.per_position) * position_sd_mm)


@dataclass(frozen=True, slots=True)
class _AtLens:
    """Derivatives of ``u(z)`` with ``z = Dc + Rc``, and of ``Rc`` by the spectacle refraction."""

    per_cornea: float
    per_position: float
    vertex: float


def _at_lens(eye: ThinEye, corneal_power: float, refraction: float) -> _AtLens:
    at_cornea = to_corneal_plane_d(refraction, STANDARD_VERTEX_MM)
    power = corneal_power + at_cornea
    vergence = vergence_at_lens_d(power_at_cornea_d=power, lens_position_mm=eye.lens_position_mm)
    spread = AQUEOUS_INDEX_MM / (AQUEOUS_INDEX_MM - eye.lens_position_mm * power)
    vertex = 1.0 / (1.0 - STANDARD_VERTEX_MM * refraction / 1000.0) ** 2
    return _AtLens(spread**2, vergence**2 / AQUEOUS_INDEX_MM, vertex)


def _route(power: float, variance: float, position_part: float) -> Route:
    return Route(power, math.sqrt(variance), math.sqrt(variance + position_part**2))


def _surprise_variance(before: LengthAndCornea, reading: AphakicReading, slopes: Slopes) -> float:
    return before.gaussian().variance_along(_row(slopes)) + reading.variance


def _row(slopes: Slopes) -> tuple[float, float]:
    return slopes.per_axial_length, slopes.per_corneal_power


def _conditioned(
    eye: ThinEye, prior: Gaussian, reading: AphakicReading, variance: float
) -> Posterior:
    """The linearised update, repeated about its own mean until that stands still."""
    at = prior.mean
    for _ in range(_STEPS):
        slopes = aphakic_slopes(eye, at)
        model = Linearised(at, (slopes.refraction_d,), (_row(slopes),), ((variance,),))
        solved = observe(prior, (reading.unbiased_d,), model)
        moved = max(abs(a - b) for a, b in zip(solved.belief.mean, at, strict=True))
        at = solved.belief.mean
        if moved < _CONVERGED:
            break
    return solved


def with_both_routes(priors: Mapping[str, Prior], belief: LengthAndCornea) -> dict[str, Prior]:
    """``priors`` with length and cornea, and their covariance, in place of the old ones."""
    shared = belief.correlation * belief.length.sd * belief.cornea.sd
    length, cornea = belief.length, belief.cornea
    return {
        **priors,
        LENGTH: Prior(length.mean, length.sd, ((CORNEA, shared),)),
        CORNEA: Prior(cornea.mean, cornea.sd, ((LENGTH, shared),)),
    }
