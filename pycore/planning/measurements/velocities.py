"""How fast ultrasound travels in the eye, at body temperature, m/s, each with its source.

Velocities of whole eyes are means over the path, ``sum(x) / sum(x / v)``. Tests:
tests/published/checks_measurements.py.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from pycore.errors import Inconsistent, OutOfRange
from pycore.planning.measurements.step import Confidence
from pycore.words import say

_HOFFER: Final = "Hoffer KJ, J Cataract Refract Surg 1994;20:554-562"
_JANSSON: Final = "Jansson F, Kock E, Acta Ophthalmol 1962;40:420-433"
_OIL: Final = "value from memory; 987 is also in use for 1000 cSt"
_HOFFER_IMPLIED: Final = say("implied by the pseudophakic corrections of {hoffer}", hoffer=_HOFFER)


@dataclass(frozen=True, slots=True)
class Velocity:
    """Speed in m/s, with where it comes from and how surely it is known."""

    m_per_s: float
    source: str
    confidence: Confidence


#: One medium along the beam.
TISSUE: Final = {
    "aqueous": Velocity(1532.0, _JANSSON, "secondary"),
    "vitreous": Velocity(1532.0, _JANSSON, "secondary"),
    "cornea": Velocity(1641.0, _JANSSON, "secondary"),
    "natural_lens": Velocity(1641.0, _JANSSON, "secondary"),
    "oil_1000": Velocity(980.0, _OIL, "memory"),
    "oil_5000": Velocity(1040.0, _OIL, "memory"),
    "pmma": Velocity(2736.0, _HOFFER_IMPLIED, "derived"),
    "acrylic": Velocity(2120.0, "value from memory", "memory"),
    "silicone_lens": Velocity(982.0, _HOFFER_IMPLIED, "derived"),
}

#: A whole eye in each state. Gas is left out: ultrasound through it is unreliable. Natural lens
#: out of the beam: measured as aphakic (our inference).
WHOLE_EYE: Final = {
    "phakic": Velocity(1555.0, _HOFFER, "journal"),
    "aphakic": Velocity(1532.0, _HOFFER, "secondary"),
    "lens_out_of_beam": Velocity(1532.0, "measured as aphakic", "assumption"),
    "phakic_oil": Velocity(1139.0, _HOFFER, "journal"),
    "aphakic_oil": Velocity(1052.0, _HOFFER, "journal"),
}

#: Settings below or above are no ultrasound velocity of an eye, m/s.
SLOWEST_M_S: Final = 500.0
FASTEST_M_S: Final = 6000.0


@dataclass(frozen=True, slots=True)
class Segment:
    """A stretch of the beam: length in mm, speed in m/s."""

    length_mm: float
    m_per_s: float


def mean_velocity_m_s(segments: Sequence[Segment]) -> float:
    """``sum(x) / sum(x / v)``: the one speed that gives the same time of flight.

    Raises :class:`Inconsistent` for no segment and :class:`OutOfRange` for an impossible one.

    >>> round(mean_velocity_m_s([Segment(18.5, 1532.0), Segment(5.0, 1641.0)]))
    1554
    """
    if not segments:
        raise Inconsistent("A mean velocity needs at least one segment. Enter one.", field="segments")
    for part in segments:
        refuse_impossible(part.m_per_s, field="segments")
        if part.length_mm <= 0.0:
            raise OutOfRange("A segment must be longer than 0 mm.", field="segments")
    return math.fsum(part.length_mm for part in segments) / math.fsum(
        part.length_mm / part.m_per_s for part in segments
    )


def refuse_impossible(m_per_s: float, *, field: str) -> None:
    """Raise :class:`OutOfRange` for a speed that no setting has."""
    if not SLOWEST_M_S <= m_per_s <= FASTEST_M_S:
        raise OutOfRange(
            say(
                "{m_per_s} m/s is no ultrasound velocity of an eye. Enter the setting of the instrument, "
                "{slowest_m_s} to {fastest_m_s} m/s; 1550 and 1532 are usual.",
                m_per_s=f"{m_per_s:g}", slowest_m_s=f"{SLOWEST_M_S:g}", fastest_m_s=f"{FASTEST_M_S:g}",
            ),
            field=field,
        )
