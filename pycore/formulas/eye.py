"""What goes into a formula and what comes out of it."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from pycore.errors import OutOfRange
from pycore.units import corneal_radius_mm
from pycore.words import say

#: A stable code and a sentence for the screen.
Caution = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Biometry:
    """Measurements of one eye; corneal powers with keratometer index 1.3375.

    ``phakic_acd_mm`` is the depth from corneal epithelium to the natural lens, ``None`` when
    that lens was lost before it was measured. Raises :class:`OutOfRange` for lengths and
    powers that are not positive finite numbers.
    """

    axial_length_mm: float
    k1_d: float
    k2_d: float
    phakic_acd_mm: float | None = None

    def __post_init__(self) -> None:
        for name in ("axial_length_mm", "k1_d", "k2_d"):
            value = getattr(self, name)
            if not (math.isfinite(value) and value > 0.0):
                raise OutOfRange(say(
                    "{name} must be a positive number; got {value}.",
                    name=name, value=f"{value:g}",
                ), field=name)

    @property
    def k_mean_d(self) -> float:
        """Mean of the two powers (not of the two radii), used by all four formulas."""
        return (self.k1_d + self.k2_d) / 2.0

    @property
    def radius_mm(self) -> float:
        """Radius of the mean power, ``337.5 / K``."""
        return corneal_radius_mm(self.k_mean_d)


@dataclass(frozen=True, slots=True)
class LensConstants:
    """Constants of one lens; an explicit one wins over the one converted from ``a``."""

    a: float | None = None
    pacd_mm: float | None = None
    surgeon_factor_mm: float | None = None
    a0: float | None = None
    a1: float | None = None
    a2: float | None = None


@dataclass(frozen=True, slots=True)
class ThinEye:
    """A formula's prediction, ready for :mod:`pycore.optics.vergence`.

    The optical length, lens position and corneal power are that formula's own and must
    never be mixed with another formula's.
    """

    axial_length_mm: float
    lens_position_mm: float
    corneal_power_d: float
    cautions: tuple[Caution, ...] = ()


@dataclass(frozen=True, slots=True)
class Formula:
    """One published formula: only a predictor of length, lens position and corneal power.

    ``position_per_constant`` is the exact change of lens position per unit of the formula's
    own constant (named ``constant``). ``constants_used`` says which numbers a prediction
    rests on, explicit or converted.
    """

    name: str
    label: str
    citation: str
    constant: str
    position_per_constant: float
    predict: Callable[[Biometry, LensConstants], ThinEye]
    constants_used: Callable[[LensConstants], dict[str, float]]
