"""The model of one eye: what a reading and the final refraction depend on.

With ``x`` the unknowns of :data:`pycore.belief.priors.UNKNOWNS` and ``e`` the mean length
outside (scleral opening to each haptic's original tip)::

    position  = d + dd + entry_effect (entry - 2) + tunnel_effect (2 - tunnel) + slip - k (e - 2)
    reading   = R(L + dL, Dc + dK, position, P + dP) + bias + drift + noise
    final     = R(L + dL, Dc + dK, position, P + dP) + settle

``R`` is the thin-lens refraction at 12 mm vertex. Drawing haptic out (larger ``e``) moves
the optic forward (smaller position), so the eye becomes more myopic. Tests:
``tests/limits/test_eye.py`` (derivatives), ``tests/simulation/test_importance.py``.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from pycore.belief.linear import Vector
from pycore.belief.priors import INDEX, UNKNOWNS
from pycore.optics.vergence import Slopes, refraction_and_slopes

#: The state for which the base formula's position is meant: 2.0 mm of haptic outside,
#: entries 2.0 mm behind the limbus, tunnels 2.0 mm long.
REFERENCE_OUTSIDE_MM: Final = 2.0
REFERENCE_ENTRY_MM: Final = 2.0
REFERENCE_TUNNEL_MM: Final = 2.0

_LENGTH = INDEX["axial_length_mm"]
_CORNEA = INDEX["corneal_power_d"]
_POSITION = INDEX["lens_position_mm"]
_TRAVEL = INDEX["travel_ratio"]
_LABEL = INDEX["lens_label_d"]
_SETTLE = INDEX["settle_d"]
_ENTRY = INDEX["entry_effect"]
_TUNNEL = INDEX["tunnel_effect"]
_SLIP = INDEX["slip_mm"]
_DRIFT = INDEX["drift_d"]


@dataclass(frozen=True, slots=True)
class EyeModel:
    """The base formula's thin eye with its lens, and where the haptics enter."""

    axial_length_mm: float
    lens_position_mm: float
    corneal_power_d: float
    lens_power_d: float
    entry_mm: float = REFERENCE_ENTRY_MM
    tunnel_mm: float = REFERENCE_TUNNEL_MM

    @property
    def entry_excess_mm(self) -> float:
        return self.entry_mm - REFERENCE_ENTRY_MM

    @property
    def tunnel_short_mm(self) -> float:
        return REFERENCE_TUNNEL_MM - self.tunnel_mm


@dataclass(frozen=True, slots=True)
class Predicted:
    """A value in dioptres with its gradient over the unknowns."""

    value_d: float
    gradient: Vector
    per_position: float


def predict_reading(
    eye: EyeModel, unknowns: Vector, *, outside_mm: float, instrument: str, latest: bool
) -> Predicted:
    """Expected reading; ``latest`` when the haptics still lie as at the latest reading.

    Only then do the slip and drift of that placement, which are part of the state, apply.
    """
    slopes = _slopes(eye, unknowns, outside_mm=outside_mm, slip=latest)
    bias = INDEX[f"reading_bias_d:{instrument}"]
    gradient = _gradient(eye, slopes, outside_mm=outside_mm, slip=latest)
    gradient[bias] = 1.0
    gradient[_DRIFT] = 1.0 if latest else 0.0
    value = slopes.refraction_d + unknowns[bias] + gradient[_DRIFT] * unknowns[_DRIFT]
    return Predicted(value, tuple(gradient), slopes.per_lens_position)


def predict_final(eye: EyeModel, unknowns: Vector, *, outside_mm: float, unmoved: bool) -> Predicted:
    """Expected refraction at one month; ``unmoved`` keeps the latest placement's slip."""
    slopes = _slopes(eye, unknowns, outside_mm=outside_mm, slip=unmoved)
    gradient = _gradient(eye, slopes, outside_mm=outside_mm, slip=unmoved)
    gradient[_SETTLE] = 1.0
    return Predicted(
        slopes.refraction_d + unknowns[_SETTLE], tuple(gradient), slopes.per_lens_position
    )


def lens_position_mm(eye: EyeModel, unknowns: Vector, *, outside_mm: float, slip: bool) -> float:
    """Thin-lens position for this state of the haptics."""
    return (
        eye.lens_position_mm
        + unknowns[_POSITION]
        + unknowns[_ENTRY] * eye.entry_excess_mm
        + unknowns[_TUNNEL] * eye.tunnel_short_mm
        + (unknowns[_SLIP] if slip else 0.0)
        - unknowns[_TRAVEL] * (outside_mm - REFERENCE_OUTSIDE_MM)
    )


def _slopes(eye: EyeModel, unknowns: Vector, *, outside_mm: float, slip: bool) -> Slopes:
    return refraction_and_slopes(
        axial_length_mm=eye.axial_length_mm + unknowns[_LENGTH],
        lens_position_mm=lens_position_mm(eye, unknowns, outside_mm=outside_mm, slip=slip),
        corneal_power_d=eye.corneal_power_d + unknowns[_CORNEA],
        lens_power_d=eye.lens_power_d + unknowns[_LABEL],
    )


def _gradient(eye: EyeModel, slopes: Slopes, *, outside_mm: float, slip: bool) -> list[float]:
    position = slopes.per_lens_position
    gradient = [0.0] * len(UNKNOWNS)
    gradient[_LENGTH] = slopes.per_axial_length
    gradient[_CORNEA] = slopes.per_corneal_power
    gradient[_POSITION] = position
    gradient[_TRAVEL] = -(outside_mm - REFERENCE_OUTSIDE_MM) * position
    gradient[_LABEL] = slopes.per_lens_power
    gradient[_ENTRY] = eye.entry_excess_mm * position
    gradient[_TUNNEL] = eye.tunnel_short_mm * position
    gradient[_SLIP] = position if slip else 0.0
    return gradient
