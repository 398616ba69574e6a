"""Corneal powers by other indices and after laser, through the radius, never by a factor guessed.

    r  = 1000 (n_k - 1) / K                     radius behind a keratometric power
    K  = 337.5 / r                              the power every formula here expects
    front face  376 / r                         total power  = front + back - t/n front back
    Kc = 1.14 K - 6.8                           after myopic laser, no history
    Kc = 1.0457 K - 1.9538                      after hyperopic laser, no history

A total corneal power (both faces) is lower than the keratometric one by about a dioptre; it must
never be entered as K. Sources: Shammas HJ, Shammas MC, J Cataract Refract Surg 2007;33:31-36
(coefficients from a secondary source); 2013;39:739-744 (journal); keratometric against total power
J Refract Surg 2023;39:266-272. Raises :class:`OutOfRange` for an index no keratometer has. Tests:
tests/published/checks_measurements.py, tests/limits/test_measurements.py.
"""

from __future__ import annotations

import math
from typing import Final

from pycore.belief.priors import ALTERED_CORNEA_SD_D, Prior
from pycore.errors import OutOfRange
from pycore.optics.paraxial import Face, cardinal_points
from pycore.optics.thick_eye import (
    CORNEA_INDEX,
    CORNEA_THICKNESS_MM,
    POSTERIOR_RATIO,
)
from pycore.planning.measurements.step import Confidence, Step
from pycore.units import AQUEOUS_INDEX, KERATOMETER_INDEX, corneal_radius_mm, keratometric_power_d
from pycore.words import say

#: Indices that keratometers use: 1.3375 mostly, 1.332 and 1.3315 some European ones, 4/3 and 1.336
#: older ones, 1.376 the front face alone.
LOWEST_INDEX: Final = 1.325
HIGHEST_INDEX: Final = 1.380

#: Slope and intercept of the corrected power over the measured one, by what the laser corrected.
NO_HISTORY: Final[dict[str, tuple[float, float, str, Confidence]]] = {
    "myopia": (1.14, -6.8, "Shammas HJ, Shammas MC, J Cataract Refract Surg 2007;33:31-36", "secondary"),
    "hyperopia": (1.0457, -1.9538, "J Cataract Refract Surg 2013;39:739-744", "journal"),
}
#: The correction itself is worth this part of its size; our assumption.
CORRECTION_SD_SHARE: Final = 0.25


def from_other_index_d(power_d: float, *, index: float) -> float:
    """The same cornea as K with index 1.3375: through the radius.

    >>> round(from_other_index_d(43.117, index=1.332), 3)
    43.831
    """
    if not LOWEST_INDEX <= index <= HIGHEST_INDEX:
        raise OutOfRange(
            say(
                "A keratometer index of {index} is not in use. Enter the instrument's own, "
                "{lowest_index} to {highest_index}; 1.3375 is usual.",
                index=f"{index:g}", lowest_index=f"{LOWEST_INDEX:g}", highest_index=f"{HIGHEST_INDEX:g}",
            ),
            field="keratometer_index",
        )
    return keratometric_power_d(corneal_radius_mm(power_d, index=index))


def front_power_d(radius_mm: float) -> float:
    """Power of the front face against air, ``376 / r``: 1.114 times K."""
    return keratometric_power_d(radius_mm, index=CORNEA_INDEX)


def total_power_d(radius_mm: float) -> float:
    """Equivalent power of both faces, the back one 0.82 of the front radius (Liou and Brennan)."""
    faces = (
        Face(1.0 / radius_mm, CORNEA_INDEX, CORNEA_THICKNESS_MM),
        Face(1.0 / (radius_mm * POSTERIOR_RATIO), AQUEOUS_INDEX),
    )
    return cardinal_points(faces).power_d


def keratometric_from_total_d(total_d: float) -> float:
    """K of the cornea whose both faces have ``total_d``; inverse of :func:`total_power_d`.

    Both faces scale with the radius except for the thickness term, so a few steps suffice.
    """
    radius = corneal_radius_mm(total_d, index=1.328)
    for _ in range(20):
        radius *= total_power_d(radius) / total_d
    return keratometric_power_d(radius)


def after_laser_d(k_d: float, *, corrected_for: str) -> float:
    """Corneal power after laser surgery without the old measurements."""
    slope, intercept, _, _ = NO_HISTORY[corrected_for]
    return slope * k_d + intercept


def after_laser_belief(k_d: float, *, corrected_for: str) -> Prior:
    """Deviation from the measured K: the correction, with the SD of an altered cornea and a
    quarter of the correction's size."""
    change = after_laser_d(k_d, corrected_for=corrected_for) - k_d
    return Prior(change, math.hypot(ALTERED_CORNEA_SD_D, CORRECTION_SD_SHARE * change))


def index_step(power_d: float, *, index: float) -> Step:
    """The conversion of one power as a step."""
    after = from_other_index_d(power_d, index=index)
    text = say(
        "Keratometer index {index} to {keratometer_index}, through the radius.",
        index=f"{index:g}", keratometer_index=f"{KERATOMETER_INDEX:g}",
    )
    return Step("keratometer_index", text, power_d, after, "K = 1000 (n - 1) / r", "derived")


def after_laser_step(k_d: float, *, corrected_for: str) -> Step:
    """The correction after laser as a step."""
    _, _, source, confidence = NO_HISTORY[corrected_for]
    text = say("No-history relation after laser for {corrected_for}.", corrected_for=corrected_for)
    return Step("after_laser", text, k_d, after_laser_d(k_d, corrected_for=corrected_for), source, confidence)
