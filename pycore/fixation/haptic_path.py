"""How much of a haptic is left outside the sclera: its length less its way out.

The way out is the shortest one, for a haptic drawn straight: from the rim of an optic centred on
the eye's axis to the scleral opening, seen from in front, ``r - D/2`` with the opening ``r`` from
the axis. A straight tunnel on that line is part of it and adds nothing. So::

    expected outside = haptic length - (r - D/2)

It is the most that can be outside: a slanting tunnel, and an optic that hangs 1 mm deeper than
the openings (about 0.1 mm), take some away.

If only the overall length ``L`` of the loose lens is known, each haptic is taken as a spiral whose
distance from the centre grows evenly from ``D/2`` to ``L/2`` over :data:`LOOP_SWEEP_DEG`::

    k = (L - D) / (2 sweep)      length = [q sqrt(q^2 + k^2) + k^2 asinh(q / k)] / (2 k), q from D/2 to L/2

Valid for ``L > D``. Source: geometry; the sweep is our assumption. Checked by
tests/limits/test_haptic_path.py.
"""

from __future__ import annotations

import math
from typing import Final

from pycore.errors import Inconsistent
from pycore.words import say

#: Turn of the loop about the optic's centre; our assumption. It gives 7.2 mm for a 13.0 mm lens
#: with a 6.0 mm optic, within the 6 to 8 mm of three-piece lenses (value from memory).
LOOP_SWEEP_DEG: Final = 75.0
#: Optic diameter taken when none is given, mm (6.0 to 7.0 in use, value from memory).
USUAL_OPTIC_MM: Final = 6.0
#: Haptic needed beyond the melt, so that forceps and cautery find something to hold, mm; our judgement.
SPARE_MM: Final = 0.5


def loop_length_mm(*, lens_length_mm: float, optic_diameter_mm: float) -> float:
    """One haptic straightened, estimated from the loose lens; measure it where you can.

    Raises :class:`Inconsistent` when the lens is not longer than its optic.

    >>> round(loop_length_mm(lens_length_mm=13.0, optic_diameter_mm=6.0), 1)
    7.2
    """
    inner, outer = optic_diameter_mm / 2.0, lens_length_mm / 2.0
    if outer <= inner:
        raise Inconsistent(
            say(
                "The lens is {lens_length_mm} mm long and its optic {optic_diameter_mm} mm wide; the "
                "overall length is tip to tip. Check both.",
                lens_length_mm=f"{lens_length_mm:g}", optic_diameter_mm=f"{optic_diameter_mm:g}",
            ),
            field="lens_length_mm",
        )
    pitch = (outer - inner) / math.radians(LOOP_SWEEP_DEG)
    return _spiral_mm(outer, pitch) - _spiral_mm(inner, pitch)


def expected_outside_mm(
    *, haptic_length_mm: float, entry_radius_mm: float, optic_diameter_mm: float
) -> float:
    """Length outside of a taut haptic; negative when it does not reach the opening."""
    return haptic_length_mm - (entry_radius_mm - optic_diameter_mm / 2.0)


def _spiral_mm(radius_mm: float, pitch: float) -> float:
    rising = radius_mm * math.hypot(radius_mm, pitch) + pitch**2 * math.asinh(radius_mm / pitch)
    return rising / (2.0 * pitch)
