"""Lens constants and the published conversions between them.

None of these is an anatomical distance. Conversions, with ``A`` the SRK/T constant::

    SF   = 0.5663 A - 65.60           Holladay 1988 (value from memory)
    SF   = 0.9704 ACD - 3.595         Holladay 1988 (value from memory)
    pACD = 0.58357 A - 63.896         the two lines above combined
    ACD  = 0.62467 A - 68.747         Retzlaff 1990, inside SRK/T (value from memory)
    a0   = ACD - 3.37 a1 - 23.39 a2   Haigis; 0.62467 A - 72.434 with a1 0.4, a2 0.1
                                      (value from memory)

The two lines for an ACD constant disagree by a few hundredths of a millimetre; each formula
keeps its own. Valid for any finite ``A``. Sources: Holladay JT et al., J Cataract Refract
Surg 1988;14:17-24; Retzlaff JA et al., J Cataract Refract Surg 1990;16:333-340; Haigis W et
al., Graefes Arch Clin Exp Ophthalmol 2000;238:765-773. Checked by
tests/published/test_constants.py.
"""

from __future__ import annotations

from typing import Final

from pycore.errors import MissingField
from pycore.formulas.eye import Caution, LensConstants
from pycore.words import say

#: ``ACD constant = slope A + intercept`` inside SRK/T; the slope also scales changes of A.
SRKT_ACD_PER_A: Final = 0.62467
SRKT_ACD_AT_ZERO_MM: Final = -68.747
#: ``pACD = slope A + intercept``.
PACD_PER_A: Final = 0.58357
PACD_AT_ZERO_MM: Final = -63.896
#: ``SF = slope A + intercept`` and ``SF = slope ACD + intercept``.
SURGEON_FACTOR_PER_A: Final = 0.5663
SURGEON_FACTOR_AT_ZERO_MM: Final = -65.60
SURGEON_FACTOR_PER_ACD: Final = 0.9704
SURGEON_FACTOR_AT_ZERO_ACD_MM: Final = -3.595
#: Standard slopes of the Haigis line and the mean eye it was anchored at.
HAIGIS_A1: Final = 0.4
HAIGIS_A2: Final = 0.1
HAIGIS_MEAN_PHAKIC_ACD_MM: Final = 3.37
HAIGIS_MEAN_AXIAL_LENGTH_MM: Final = 23.39

_A0_FROM_A: Final[Caution] = (
    "haigis_a0_from_a",
    "Haigis a0 was converted from A: its powers run about 1 D strong. Enter a fitted a0.",
)
_SLOPES_WITHOUT_A0: Final[Caution] = (
    "haigis_slopes_without_a0",
    (
        "a1 or a2 was given without a0: a0 was set so that the mean eye (chamber 3.37 mm, length "
        "23.39 mm) keeps its lens position. Enter all three together."
    ),
)


def srkt_acd_from_a_mm(a: float) -> float:
    """``0.62467 A - 68.747``."""
    return SRKT_ACD_PER_A * a + SRKT_ACD_AT_ZERO_MM


def pacd_from_a_mm(a: float) -> float:
    """``0.58357 A - 63.896``."""
    return PACD_PER_A * a + PACD_AT_ZERO_MM


def surgeon_factor_from_a_mm(a: float) -> float:
    """``0.5663 A - 65.60``; may be negative."""
    return SURGEON_FACTOR_PER_A * a + SURGEON_FACTOR_AT_ZERO_MM


def surgeon_factor_from_acd_mm(acd_mm: float) -> float:
    """``0.9704 ACD - 3.595``; offered for checking, never applied silently."""
    return SURGEON_FACTOR_PER_ACD * acd_mm + SURGEON_FACTOR_AT_ZERO_ACD_MM


def haigis_a0_from_a(a: float, *, a1: float = HAIGIS_A1, a2: float = HAIGIS_A2) -> float:
    """``a0`` that puts the lens of the mean eye at SRK/T's ACD constant.

    With the standard slopes this is the published ``0.62467 A - 72.434``.
    """
    mean_eye_mm = a1 * HAIGIS_MEAN_PHAKIC_ACD_MM + a2 * HAIGIS_MEAN_AXIAL_LENGTH_MM
    return srkt_acd_from_a_mm(a) - mean_eye_mm


def srkt_acd_mm(constants: LensConstants) -> float:
    """SRK/T's ACD constant; raises :class:`MissingField` without an A constant."""
    return srkt_acd_from_a_mm(_need(constants.a, "a", "SRK/T needs the A constant"))


def pacd_mm(constants: LensConstants) -> float:
    """Hoffer Q's constant, explicit or from A; raises :class:`MissingField` without either."""
    if constants.pacd_mm is not None:
        return constants.pacd_mm
    return pacd_from_a_mm(_need(constants.a, "pacd_mm", "Hoffer Q needs the ACD constant or A"))


def surgeon_factor_mm(constants: LensConstants) -> float:
    """Holladay 1's constant, explicit or from A; raises :class:`MissingField` without either."""
    if constants.surgeon_factor_mm is not None:
        return constants.surgeon_factor_mm
    a = _need(constants.a, "surgeon_factor_mm", "Holladay 1 needs the surgeon factor or A")
    return surgeon_factor_from_a_mm(a)


def haigis_slopes(constants: LensConstants) -> tuple[float, float]:
    """``(a1, a2)``, the standard 0.4 and 0.1 where not given."""
    a1 = HAIGIS_A1 if constants.a1 is None else constants.a1
    a2 = HAIGIS_A2 if constants.a2 is None else constants.a2
    return a1, a2


def haigis_a0(constants: LensConstants) -> float:
    """Haigis ``a0``, explicit or from A; raises :class:`MissingField` without either."""
    if constants.a0 is not None:
        return constants.a0
    a1, a2 = haigis_slopes(constants)
    return haigis_a0_from_a(
        _need(constants.a, "a0", "Haigis needs a0 or the A constant"), a1=a1, a2=a2
    )


def haigis_cautions(constants: LensConstants) -> tuple[Caution, ...]:
    """What to know about a Haigis answer whose ``a0`` was converted from A."""
    if constants.a0 is not None:
        return ()
    standard = haigis_slopes(constants) == (HAIGIS_A1, HAIGIS_A2)
    return (_A0_FROM_A,) if standard else (_A0_FROM_A, _SLOPES_WITHOUT_A0)


def _need(value: float | None, field: str, reason: str) -> float:
    if value is None:
        raise MissingField(say(
            "{reason}. Enter it from the lens label.",
            reason=reason,
        ), field=f"constants.{field}")
    return value
