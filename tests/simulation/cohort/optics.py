"""Refraction of an eye by its system matrix: the truth's optics, in metres and dioptres.

A ray is (height, index times angle); a surface of power ``P`` is ``[[1, 0], [-P, 1]]``, a
gap ``t`` is ``[[1, t/n], [0, 1]]``. Light of vergence ``U`` at the cornea ends on the
retina's centre when ``A - U B = 0``; so the refraction there is ``A / B``.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

INDEX = 1.336
VERTEX_M = 0.012


def system(length_mm: Array, position_mm: Array, cornea_d: Array, lens_d: Array) -> tuple[Array, Array]:
    """``A`` and ``B`` (height on the retina per height and per angle at the cornea)."""
    before, behind = position_mm / 1000 / INDEX, (length_mm - position_mm) / 1000 / INDEX
    height, slope = 1 - before * cornea_d, -cornea_d
    a = height + behind * (slope - lens_d * height)
    b = before + behind * (1 - lens_d * before)
    return a, b


def refraction_d(length_mm: Array, position_mm: Array, cornea_d: Array, lens_d: Array) -> Array:
    """Spectacle refraction at 12 mm vertex."""
    a, b = system(length_mm, position_mm, cornea_d, lens_d)
    return np.asarray(a / (b + VERTEX_M * a))


def lens_power_d(length_mm: Array, position_mm: Array, cornea_d: Array, refraction: float) -> Array:
    """Lens that gives ``refraction``: ``A`` and ``B`` are linear in its power."""
    nothing, one = np.zeros_like(length_mm), np.ones_like(length_mm)
    a0, b0 = system(length_mm, position_mm, cornea_d, nothing)
    a1, b1 = system(length_mm, position_mm, cornea_d, one)
    at_cornea = refraction / (1 - VERTEX_M * refraction)
    return np.asarray((a0 - at_cornea * b0) / (at_cornea * (b1 - b0) - (a1 - a0)))
