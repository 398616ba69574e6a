"""Pose of the lens: tilt and decentration, from clinical axes to a rotation and a shift.

Two frames, both right-handed:

- **Clinical**: TABO degrees, counter-clockwise seen from in front of the patient, 0 at the
  observer's right. Everything a caller sees.
- **Trace**: millimetres, ``z`` into the eye from the corneal vertex, ``y`` up, hence ``x`` to
  the observer's *left*. A TABO direction ``t`` is ``(-cos t, sin t, 0)`` there, an axis in the
  trace frame is 180 minus the TABO axis, and J45 changes its sign; J0 does not.

Signs. The lens is a rigid body turned about its **centre** (mid-thickness on its own axis) and
then shifted. ``tilt_deg`` turns it right-handed about the direction ``tilt_axis_deg``: **the
edge 90 degrees counter-clockwise of the tilt axis comes forward**, toward the observer. Axis 0
brings the superior edge forward, axis 180 sends it back, axis 90 brings the edge at the
observer's left forward. ``decentre_axis_deg`` is the direction in which the optic has moved.
Without decentration the two senses of a tilt have the same effect; with it they do not.

Valid for tilt 0 to 45 degrees and any axis. Source: rotation by Rodrigues' formula. Checked by
tests/limits/test_tilt_identities.py and, through the trace, tests/reference/test_tilt_reference.py.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

Vector = tuple[float, float, float]
Matrix = tuple[Vector, Vector, Vector]


@dataclass(frozen=True, slots=True)
class Pose:
    """Tilt and decentration in TABO degrees; all zero is the centred lens."""

    tilt_deg: float = 0.0
    tilt_axis_deg: float = 0.0
    decentre_mm: float = 0.0
    decentre_axis_deg: float = 0.0


CENTRED = Pose()


def trace_direction(tabo_deg: float) -> tuple[float, float]:
    """The unit vector of a TABO direction in the trace frame's ``x, y``."""
    angle = math.radians(tabo_deg)
    return -math.cos(angle), math.sin(angle)


def rotation(pose: Pose) -> Matrix:
    """Matrix that takes the centred lens's directions to those of the tilted lens."""
    ax, ay = trace_direction(pose.tilt_axis_deg)
    angle = math.radians(pose.tilt_deg)
    cosine, sine = math.cos(angle), math.sin(angle)
    rest = 1.0 - cosine
    return (
        (cosine + rest * ax * ax, rest * ax * ay, sine * ay),
        (rest * ax * ay, cosine + rest * ay * ay, -sine * ax),
        (-sine * ay, sine * ax, cosine),
    )


def shift_mm(pose: Pose) -> Vector:
    """Displacement of the lens centre in the trace frame."""
    x, y = trace_direction(pose.decentre_axis_deg)
    return pose.decentre_mm * x, pose.decentre_mm * y, 0.0
