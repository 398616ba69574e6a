"""Zernike polynomials in the OSA/ANSI form, as plain numbers for a vectorised caller.

``Z(n, m) = N R(n, |m|)(rho) * cos(m phi)`` for ``m >= 0`` and ``sin(|m| phi)`` for ``m < 0``,
``N = sqrt((2 - [m = 0]) (n + 1))``, so that each has unit RMS over the unit disc and a
coefficient is an RMS wavefront in its own unit. Index ``j = (n (n + 2) + m) / 2``.

Source: Thibos LN, Applegate RA, Schwiegerling JT, Webb R, J Refract Surg 2002;18:S652-60
(value from memory); ANSI Z80.28. Checked by tests/unit/test_zernike.py.
"""

from __future__ import annotations

import math


def modes(order: int) -> tuple[tuple[int, int], ...]:
    """Every ``(n, m)`` up to ``order``, in OSA order.

    >>> modes(2)
    ((0, 0), (1, -1), (1, 1), (2, -2), (2, 0), (2, 2))
    """
    return tuple((n, m) for n in range(order + 1) for m in range(-n, n + 1, 2))


def osa_index(n: int, m: int) -> int:
    """Place of ``(n, m)`` in :func:`modes`.

    >>> osa_index(3, 1), osa_index(4, 0)
    (8, 12)
    """
    return (n * (n + 2) + m) // 2


def norm(n: int, m: int) -> float:
    """The factor that gives ``Z(n, m)`` unit RMS."""
    return math.sqrt((1 if m == 0 else 2) * (n + 1))


def radial_terms(n: int, m: int) -> tuple[tuple[int, float], ...]:
    """``(power, coefficient)`` of the radial polynomial ``R(n, |m|)``.

    >>> radial_terms(4, 0)
    ((4, 6.0), (2, -6.0), (0, 1.0))
    """
    size = abs(m)
    return tuple((n - 2 * k, _radial_coefficient(n, size, k)) for k in range((n - size) // 2 + 1))


def _radial_coefficient(n: int, size: int, k: int) -> float:
    top = (-1) ** k * math.factorial(n - k)
    bottom = math.factorial(k) * math.factorial((n + size) // 2 - k) * math.factorial((n - size) // 2 - k)
    return float(top // bottom)
