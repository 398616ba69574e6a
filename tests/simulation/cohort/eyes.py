"""Virtual eyes: what is true of each, what is measured, and every chance event in advance.

All chance is drawn before any policy acts, so that policies meet the very same eyes with the
very same readings' errors.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace

import numpy as np

from tests.simulation.cohort.formula import ThinEyes, expected
from tests.simulation.cohort.optics import Array, lens_power_d
from tests.simulation.cohort.world import (
    AXIAL_ERROR_MM,
    KERATOMETRY_ERROR_D,
    LABEL_LIMITS_D,
    LABEL_TOLERANCES_D,
    NOISE_SD_D,
    World,
)

#: Placements of the haptics that a policy may read at, and readings it may take.
PLACEMENTS, READINGS = 4, 4
#: How often the future of each eye after the last decision is drawn: chance that no policy
#: can foresee is averaged out and leaves less sampling error.
FUTURES = 16


@dataclass(frozen=True, slots=True)
class Eyes:
    """One row an eye. ``measured_*``, ``label_d`` and ``seen_*`` are known to the surgeon.

    ``expected_mm`` is where this surgeon's average lens sits in the eye. Columns of ``settle_d``, ``final_slip_mm`` and ``execution_mm`` (by side) are futures.
    """

    surgeon: Array
    measured_axial_length_mm: Array
    measured_keratometry_d: Array
    label_d: Array
    length_mm: Array
    expected_mm: Array
    position_mm: Array
    cornea_d: Array
    lens_d: Array
    travel: Array
    bias_d: Array
    settle_d: Array
    drawn_out_mm: Array
    pushed_in_mm: Array
    seen_drawn_out_mm: Array
    seen_pushed_in_mm: Array
    slip_mm: Array
    drift_d: Array
    noise_d: Array
    length_error_mm: Array
    final_slip_mm: Array
    execution_mm: Array
    flanged_mm: Array

    def __len__(self) -> int:
        return len(self.surgeon)

    def part(self, chosen: slice | Array) -> Eyes:
        """Some of the eyes."""
        parts = {item.name: getattr(self, item.name) for item in fields(self)}
        execution = parts.pop("execution_mm")[:, chosen]
        return Eyes(**{name: values[chosen] for name, values in parts.items()}, execution_mm=execution)

    def with_label(self, label_d: Array) -> Eyes:
        """The same eyes and errors with other lenses."""
        return replace(self, label_d=label_d, lens_d=self.lens_d - self.label_d + label_d)


def draw(world: World, *, count: int, seed: int, eyes_per_surgeon: int = 1) -> Eyes:
    """``count`` eyes, ``eyes_per_surgeon`` in a row sharing their surgeon's own part."""
    rng = np.random.default_rng(seed)
    surgeon = np.arange(count) // eyes_per_surgeon
    axial, kerato = _biometry(world, rng, count)
    mean, sd = AXIAL_ERROR_MM[world.axial_method]
    seen_axial = axial + mean + sd * rng.standard_normal(count)
    seen_kerato = kerato + KERATOMETRY_ERROR_D[world.keratometry_method] * rng.standard_normal(count)
    true = expected(axial, kerato)
    label = _label(expected(seen_axial, seen_kerato), world.target_d)

    def shared(surgeon_sd: float, eye_sd: float) -> Array:
        own = surgeon_sd * rng.standard_normal(count)[surgeon]
        return np.asarray(own + eye_sd * rng.standard_normal(count))

    ends = _ends(world, rng, count)
    return Eyes(
        surgeon=surgeon.astype(float),
        measured_axial_length_mm=seen_axial,
        measured_keratometry_d=seen_kerato,
        label_d=label,
        length_mm=true.length_mm,
        expected_mm=true.position_mm + world.position_shift_mm,
        position_mm=true.position_mm + world.position_shift_mm
        + shared(world.position_surgeon_sd_mm, world.position_eye_sd_mm),
        cornea_d=true.cornea_d,
        lens_d=label + label_error_d(rng, label),
        travel=_travel(world, rng, surgeon),
        bias_d=world.bias_shift_d + shared(world.bias_surgeon_sd_d, world.bias_eye_sd_d),
        settle_d=_settle(world, rng, surgeon),
        slip_mm=world.slip_sd_mm * rng.standard_normal((count, PLACEMENTS)),
        drift_d=world.drift_sd_d * rng.standard_normal((count, PLACEMENTS)),
        noise_d=noise_d(world, rng, count),
        length_error_mm=_calliper(world, rng, (count, PLACEMENTS)),
        final_slip_mm=world.slip_sd_mm * rng.standard_normal((count, FUTURES)),
        execution_mm=world.execution_sd_mm * rng.standard_normal((2, count, FUTURES)),
        flanged_mm=2.0 + world.execution_sd_mm * rng.standard_normal(count),
        **ends,
    )


def _biometry(world: World, rng: np.random.Generator, count: int) -> tuple[Array, Array]:
    """Axial length and keratometry, correlated; drawn again where out of bounds."""
    rho = world.axial_keratometry_correlation
    first = _truncated(rng, count,
                       (world.axial_length_least_mm - world.axial_length_mm) / world.axial_length_sd_mm,
                       (world.axial_length_most_mm - world.axial_length_mm) / world.axial_length_sd_mm)
    second = rho * first + np.sqrt(1 - rho**2) * _truncated(rng, count, -3.0, 3.0)
    return (world.axial_length_mm + world.axial_length_sd_mm * first,
            world.keratometry_d + world.keratometry_sd_d * second)


def _truncated(rng: np.random.Generator, count: int, low: float, high: float) -> Array:
    """Standard normal between ``low`` and ``high``, by drawing again."""
    values = rng.standard_normal(count)
    while (outside := (values < low) | (values > high)).any():
        values[outside] = rng.standard_normal(int(outside.sum()))
    return values


def _label(seen: ThinEyes, target_d: float) -> Array:
    """The formula's lens for the target, to the nearest half dioptre as lenses come."""
    exact = lens_power_d(seen.length_mm, seen.position_mm, seen.cornea_d, target_d)
    return np.asarray(np.round(2 * exact) / 2)


def label_error_d(rng: np.random.Generator, label_d: Array) -> Array:
    """Half the tolerance as SD; a lens out of tolerance was not sold."""
    tolerance = np.asarray(LABEL_TOLERANCES_D)[np.searchsorted(LABEL_LIMITS_D, np.abs(label_d))]
    return np.asarray(tolerance / 2 * _truncated(rng, len(label_d), -2.0, 2.0))


def _travel(world: World, rng: np.random.Generator, surgeon: Array) -> Array:
    """Surgeon's mean times the eye's factor, both gamma, so never negative."""
    own = _gamma(rng, len(surgeon), world.travel, world.travel_surgeon_sd)[surgeon]
    return np.asarray(
        world.travel_sign * own * _gamma(rng, len(surgeon), 1.0, world.travel_eye_sd / world.travel)
    )


def _settle(world: World, rng: np.random.Generator, surgeon: Array) -> Array:
    """Change to one month: the surgeon's own part, and each future's."""
    own = world.settle_surgeon_sd_d * rng.standard_normal(len(surgeon))[surgeon]
    return np.asarray(own[:, None] + world.settle_eye_sd_d * rng.standard_normal((len(surgeon), FUTURES)))


def _gamma(rng: np.random.Generator, count: int, mean: float, sd: float) -> Array:
    return rng.gamma((mean / sd) ** 2, sd**2 / mean, count)


def _ends(world: World, rng: np.random.Generator, count: int) -> dict[str, Array]:
    """How far the haptics really go, and what the callipers say of it."""
    out = world.drawn_out_mm + world.end_sd_mm * _truncated(rng, count, -1.75, 2.5)
    pushed = world.pushed_in_mm + world.end_sd_mm * _truncated(rng, count, -0.75, 1.5)
    return {
        "drawn_out_mm": out,
        "pushed_in_mm": pushed,
        "seen_drawn_out_mm": out + _calliper(world, rng, (count,)),
        "seen_pushed_in_mm": pushed + _calliper(world, rng, (count,)),
    }


def _calliper(world: World, rng: np.random.Generator, shape: tuple[int, ...]) -> Array:
    """Mean of both sides' rounding to the callipers' step."""
    half = world.calliper_step_mm / 2
    return np.asarray(rng.uniform(-half, half, (*shape, 2)).mean(axis=-1))


def noise_d(world: World, rng: np.random.Generator, count: int) -> Array:
    """Errors of the readings of each eye, the gross and the soft ones among them."""
    shape = (count, READINGS)
    noise = world.noise_times * NOISE_SD_D[world.instrument] * rng.standard_normal(shape)
    gross = rng.random(shape) < world.gross_chance
    normal = world.gross_sd_d * rng.standard_normal(shape)
    wild = rng.uniform(1.0, 4.0, shape) * rng.choice([-1.0, 1.0], shape)
    soft = np.zeros(shape)
    soft[:, 1] = world.soft_second_reading_d
    return np.asarray(noise + soft + np.where(gross, wild if world.gross_wild else normal, 0.0))
