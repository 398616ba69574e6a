"""Comparison of the two eyes of a person, before a formula is asked.

Re-measure when the eyes differ by more than 0.3 mm in axial length or 1 D in mean corneal
power. Source: screening criteria of Holladay JT et al., J Cataract Refract Surg
1988;14:17-24 (values from memory). Checked by tests/unit/test_screening.py.
"""

from __future__ import annotations

from typing import Final

from pycore.formulas.eye import Biometry, Caution
from pycore.words import say

#: Largest ordinary difference in axial length, mm.
LENGTH_DIFFERENCE_MM: Final = 0.3
#: Largest ordinary difference in mean corneal power, D.
POWER_DIFFERENCE_D: Final = 1.0


def between_eyes(first: Biometry, second: Biometry) -> tuple[Caution, ...]:
    """Cautions about differences between two eyes; symmetric in its arguments."""
    found: list[Caution] = []
    length = abs(first.axial_length_mm - second.axial_length_mm)
    if length > LENGTH_DIFFERENCE_MM:
        found.append(
            (
                "eyes_differ_in_length",
                say(
                    "The two eyes differ by {length} mm in axial length. Measure both again.",
                    length=f"{length:.2f}",
                ),
            )
        )
    power = abs(first.k_mean_d - second.k_mean_d)
    if power > POWER_DIFFERENCE_D:
        found.append(
            (
                "eyes_differ_in_corneal_power",
                say(
                    "The two eyes differ by {power} D in mean corneal power. Measure both again.",
                    power=f"{power:.2f}",
                ),
            )
        )
    return tuple(found)
