"""Second implementations of the four formulas in the closed forms their papers print.

Written apart from the core and structured differently: SRK/T and Holladay 1 through their
``X`` and ``Y`` with the radius, Hoffer Q and Haigis in metres and reduced vergences. Their
agreement with the core is consistency of two readings of the same equations, not proof.
All lengths mm, powers D, vertex 12 mm.
"""

from __future__ import annotations

import math

NA = 1.336
VERTEX = 12.0


def _position_srkt(length: float, k: float, a: float) -> float:
    radius = 337.5 / k
    corrected = length if length <= 24.2 else -3.446 + 1.716 * length - 0.0237 * length * length
    half_width = (-5.41 + 0.58412 * corrected + 0.098 * k) / 2
    inside = (radius - half_width) * (radius + half_width)
    height = radius if inside < 0 else radius - inside**0.5
    return height + (0.62467 * a - 68.747) - 3.336


def _position_holladay(length: float, k: float, surgeon_factor: float) -> float:
    radius = 337.5 / k
    if radius < 7:
        radius = 7.0
    diameter = 12.5 * length / 23.45
    if diameter > 13.5:
        diameter = 13.5
    return 0.56 + radius - (radius * radius - diameter * diameter / 4) ** 0.5 + surgeon_factor


def _power_xy(length: float, radius: float, position: float, index: float, refraction: float) -> float:
    x = NA * radius - index * length
    y = NA * radius - index * position
    above = 1000 * NA * (x - 0.001 * refraction * (VERTEX * x + length * radius))
    below = (length - position) * (y - 0.001 * refraction * (VERTEX * y + position * radius))
    return above / below


def _refraction_xy(length: float, radius: float, position: float, index: float, power: float) -> float:
    x = NA * radius - index * length
    y = NA * radius - index * position
    above = 1000 * NA * x - power * (length - position) * y
    below = NA * (VERTEX * x + length * radius)
    below -= 0.001 * power * (length - position) * (VERTEX * y + position * radius)
    return above / below


def srkt(length: float, k: float, a: float, *, refraction: float | None = None,
         power: float | None = None) -> float:
    """Power for ``refraction``, or refraction for ``power``."""
    radius, position = 337.5 / k, _position_srkt(length, k, a)
    receptors = length + 0.65696 - 0.02029 * length
    if power is None:
        assert refraction is not None
        return _power_xy(receptors, radius, position, 0.333, refraction)
    return _refraction_xy(receptors, radius, position, 0.333, power)


def holladay1(length: float, k: float, surgeon_factor: float, *, refraction: float | None = None,
              power: float | None = None) -> float:
    """Power for ``refraction``, or refraction for ``power``."""
    radius, position = 337.5 / k, _position_holladay(length, k, surgeon_factor)
    if power is None:
        assert refraction is not None
        return _power_xy(length + 0.2, radius, position, 1 / 3, refraction)
    return _refraction_xy(length + 0.2, radius, position, 1 / 3, power)


def holladay1_surgeon_factor(length: float, k: float, power: float, refraction: float) -> float:
    """The surgeon factor that explains an actual result (the paper's reverse solution)."""
    radius, retina, index, ref = 337.5 / k, length + 0.2, 1 / 3, 0.001 * refraction
    aq = index - ref * (VERTEX * index - radius)
    bq = ref * (retina * VERTEX * index - radius * (retina - VERTEX * NA)) - (retina * index + NA * radius)
    cq1 = ref * (VERTEX * (NA * radius - index * retina) + retina * radius)
    cq2 = 1000 * NA * (NA * radius - index * retina - cq1) / power
    cq3 = retina * NA * radius - ref * retina * VERTEX * radius * NA
    root = (bq * bq - 4 * aq * (cq3 - cq2)) ** 0.5
    return (-bq - root) / (2 * aq) - _position_holladay(length, k, 0.0)


def _position_hoffer(length: float, k: float, pacd: float) -> float:
    a = 31.0 if length > 31 else 18.5 if length < 18.5 else length
    m, g = (1, 28) if a <= 23 else (-1, 23.5)
    bend = math.tan(math.pi / 180 * 0.1 * (g - a) ** 2)
    steep = math.tan(math.pi / 180 * k)
    return pacd + 0.3 * (a - 23.5) + steep * steep + 0.1 * m * (23.5 - a) ** 2 * bend - 0.99166


def hoffer_q(length: float, k: float, pacd: float, *, refraction: float | None = None,
             power: float | None = None) -> float:
    """Power for ``refraction``, or refraction for ``power``."""
    depth = _position_hoffer(length, k, pacd) + 0.05
    if power is None:
        assert refraction is not None
        at_cornea = refraction / (1 - 0.012 * refraction)
        return 1336 / (length - depth) - 1.336 / (1.336 / (k + at_cornea) - depth / 1000)
    at_cornea = 1.336 / (1.336 / (1336 / (length - depth) - power) + depth / 1000) - k
    return at_cornea / (1 + 0.012 * at_cornea)


def haigis(length: float, k: float, a0: float, a1: float, a2: float, depth: float | None, *,
           refraction: float | None = None, power: float | None = None) -> float:
    """Power for ``refraction``, or refraction for ``power``."""
    if depth is None:
        position = (a0 - 0.241 * a1) + (a2 + 0.139 * a1) * length
    else:
        position = a0 + a1 * depth + a2 * length
    eye, lens, cornea = length / 1000, position / 1000, 331.5 / (337.5 / k)
    if power is None:
        assert refraction is not None
        z = cornea + refraction / (1 - 0.012 * refraction)
        return NA / (eye - lens) - NA / (NA / z - lens)
    rest = NA - power * (eye - lens)
    q = NA * rest / (NA * (eye - lens) + lens * rest)
    return (q - cornea) / (1 + 0.012 * (q - cornea))
