"""The belief about one eye by brute force: adaptive importance sampling with numpy.

Written from the equations of the model alone; shares no code with ``pycore.belief``. Own
vergence (in metres and dioptres), every placement its own slip and drift, a named end its
own length error, every reading gross or not (all combinations, not at most two), optic
movement per mm never below zero, and for the final state a fresh slip and a fresh error of
carrying out the cut. Reading bias, drift and noise are normal and additive, so they are
integrated exactly; everything that passes through the optics is sampled.

Agreement with the closed forms is consistency, not proof: both rest on the same model.

``python3 -m tests.simulation.importance`` prints the comparison as a table.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import product

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

GROSS_CHANCE = 0.03
GROSS_SD_D = 1.5
SLIP_SD_MM = 0.08
DRIFT_SD_D = 0.10
EXECUTION_SD_MM = 0.25
REFERENCE_MM = 2.0
NOISE_SD_D = {"aberrometer": 0.25, "retinoscope": 0.45, "autorefractor": 0.30}

#: ``(mean, sd)`` by name, as the model states them.
DEFAULTS: dict[str, tuple[float, float]] = {
    "axial_length_mm": (0.0, 0.03),
    "corneal_power_d": (0.0, 0.20),
    "lens_position_mm": (0.0, 0.49),
    "travel_ratio": (0.20, 0.08),
    "lens_label_d": (0.0, 0.20),
    "settle_d": (0.0, 0.25),
    "entry_effect": (0.0, 0.50),
    "tunnel_effect": (0.20, 0.30),
    "reading_bias_d": (0.0, 0.20),
}


@dataclass(frozen=True, slots=True)
class Sample:
    """One reading as the sampler sees it; ``length_sd_mm`` belongs to a named end."""

    outside_mm: float
    refraction_d: float
    instrument: str
    placement: int
    noise_sd_d: float
    length_sd_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class SampledEye:
    """A thin eye, what is believed about it, and its readings."""

    axial_length_mm: float
    lens_position_mm: float
    corneal_power_d: float
    lens_power_d: float
    readings: tuple[Sample, ...] = ()
    beliefs: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    entry_mm: float = 2.0
    tunnel_mm: float = 2.0

    def belief(self, name: str) -> tuple[float, float]:
        return self.beliefs.get(name, DEFAULTS[name])

    @property
    def placements(self) -> tuple[int, ...]:
        return tuple(dict.fromkeys(reading.placement for reading in self.readings))


@dataclass(frozen=True, slots=True)
class Weighted:
    """Standardised draws (columns: unknowns of :func:`_names`) with normalised weights."""

    eye: SampledEye
    draws: Array
    weights: Array
    gross: tuple[float, ...]

    @property
    def effective_size(self) -> float:
        return float(1.0 / np.sum(self.weights**2))


@dataclass(frozen=True, slots=True)
class SampledOutcome:
    """Final refraction at one length: moments and chances within 0.25, 0.50, 1.00 D."""

    mean_d: float
    sd_d: float
    within: tuple[float, float, float]


_OPTICAL = ("axial_length_mm", "corneal_power_d", "lens_position_mm", "travel_ratio",
            "lens_label_d", "entry_effect", "tunnel_effect")


def _names(eye: SampledEye) -> list[str]:
    """What is sampled: optical unknowns, then a slip and a length error per placement."""
    extra = [f"{kind}:{place}" for place in eye.placements for kind in ("slip", "length")]
    return [*_OPTICAL, *extra]


def spectacle_refraction_d(length_mm: Array, position_mm: Array, cornea_d: Array, lens_d: Array) -> Array:
    """Paraxial thin lens: light from the retina backwards to a spectacle plane at 12 mm."""
    index, vertex_m = 1.336, 0.012
    leaving_retina = index / ((length_mm - position_mm) / 1000.0)
    before_lens = leaving_retina - lens_d
    at_cornea = before_lens / (1.0 + position_mm / 1000.0 / index * before_lens)
    error_at_cornea = at_cornea - cornea_d
    return error_at_cornea / (1.0 + vertex_m * error_at_cornea)


def _value(eye: SampledEye, draws: Array, name: str) -> Array:
    mean, sd = eye.belief(name)
    return mean + sd * draws[:, _OPTICAL.index(name)]


def _refraction(eye: SampledEye, draws: Array, *, outside_mm: Array | float, slip_mm: Array) -> Array:
    position = (
        eye.lens_position_mm
        + _value(eye, draws, "lens_position_mm")
        + _value(eye, draws, "entry_effect") * (eye.entry_mm - 2.0)
        + _value(eye, draws, "tunnel_effect") * (2.0 - eye.tunnel_mm)
        + slip_mm
        - _value(eye, draws, "travel_ratio") * (outside_mm - REFERENCE_MM)
    )
    return spectacle_refraction_d(
        eye.axial_length_mm + _value(eye, draws, "axial_length_mm"),
        position,
        eye.corneal_power_d + _value(eye, draws, "corneal_power_d"),
        eye.lens_power_d + _value(eye, draws, "lens_label_d"),
    )


def _slip(eye: SampledEye, draws: Array, placement: int) -> Array:
    return SLIP_SD_MM * draws[:, _names(eye).index(f"slip:{placement}")]


def _residuals(eye: SampledEye, draws: Array) -> Array:
    columns = []
    for reading in eye.readings:
        error = reading.length_sd_mm * draws[:, _names(eye).index(f"length:{reading.placement}")]
        bent = _refraction(eye, draws, outside_mm=reading.outside_mm + error,
                           slip_mm=_slip(eye, draws, reading.placement))
        columns.append(reading.refraction_d - eye.belief("reading_bias_d")[0] - bent)
    return np.column_stack(columns)


def _covariance(eye: SampledEye, gross: Sequence[bool]) -> Array:
    """Bias (shared by instrument), drift (shared by placement) and noise of the readings."""
    readings, bias_sd = eye.readings, eye.belief("reading_bias_d")[1]
    matrix = np.zeros((len(readings), len(readings)))
    for (i, first), (j, second) in product(enumerate(readings), repeat=2):
        matrix[i, j] = (
            bias_sd**2 * (first.instrument == second.instrument)
            + DRIFT_SD_D**2 * (first.placement == second.placement)
            + (i == j) * (first.noise_sd_d**2 + GROSS_SD_D**2 * gross[i])
        )
    return matrix


def _log_likelihood(eye: SampledEye, draws: Array) -> tuple[Array, Array, Array]:
    """Log likelihood of each draw; and per draw the parts of every gross combination."""
    if not eye.readings:
        return np.zeros(len(draws)), np.zeros((len(draws), 1)), np.zeros((1, 0))
    residuals = _residuals(eye, draws)
    combinations = np.array(list(product((False, True), repeat=len(eye.readings))))
    parts = np.column_stack([_log_part(eye, residuals, gross) for gross in combinations])
    top = parts.max(axis=1)
    return top + np.log(np.exp(parts - top[:, None]).sum(axis=1)), parts, combinations


def _log_part(eye: SampledEye, residuals: Array, gross: Array) -> Array:
    chance = np.where(gross, np.log(GROSS_CHANCE), np.log(1.0 - GROSS_CHANCE)).sum()
    covariance = _covariance(eye, gross)
    whitened = np.linalg.solve(np.linalg.cholesky(covariance), residuals.T)
    return np.asarray(chance - 0.5 * (whitened**2).sum(axis=0) - 0.5 * np.linalg.slogdet(covariance)[1])


def _log_prior(eye: SampledEye, draws: Array) -> Array:
    """Standard normal, and nothing where the optic would move the wrong way."""
    return np.asarray(
        np.where(_value(eye, draws, "travel_ratio") > 0.0, -0.5 * (draws**2).sum(axis=1), -np.inf)
    )


def _normalise(log_weights: Array) -> Array:
    weights = np.exp(log_weights - np.nanmax(log_weights))
    weights = np.nan_to_num(weights, nan=0.0)
    return np.asarray(weights / weights.sum())


def _proposal(rng: np.random.Generator, mean: Array, covariance: Array, count: int) -> tuple[Array, Array]:
    """Draws from a multivariate t with 8 degrees of freedom, and their log density + const."""
    freedom, size = 8.0, len(mean)
    root = np.linalg.cholesky(covariance)
    normal = rng.standard_normal((count, size))
    mixing = rng.chisquare(freedom, count) / freedom
    scaled = normal / np.sqrt(mixing)[:, None]
    log_density = -0.5 * (freedom + size) * np.log1p((scaled**2).sum(axis=1) / freedom)
    return mean + scaled @ root.T, log_density - np.log(np.diag(root)).sum()


def sample(eye: SampledEye, *, seed: int, count: int = 150_000, rounds: int = 4) -> Weighted:
    """Draws weighted by prior times likelihood over the proposal that made them.

    The proposal starts as the prior and is refitted ``rounds`` times to its own weighted
    draws, with the likelihood raised to a power that reaches one in the last round.
    """
    rng = np.random.default_rng(seed)
    size = len(_names(eye))
    mean, covariance = np.zeros(size), np.eye(size)
    for power in np.linspace(0.25, 1.0, rounds) if eye.readings else ():
        draws, density = _proposal(rng, mean, 1.4 * covariance, count // 4)
        weights = _normalise(power * _log_likelihood(eye, draws)[0] + _log_prior(eye, draws) - density)
        mean = weights @ draws
        away = draws - mean
        covariance = (away * weights[:, None]).T @ away + 1e-4 * np.eye(size)
    draws, density = _proposal(rng, mean, 1.2 * covariance, count)
    likelihood, parts, combinations = _log_likelihood(eye, draws)
    weights = _normalise(likelihood + _log_prior(eye, draws) - density)
    shares = np.exp(parts - likelihood[:, None]) if eye.readings else parts
    gross = tuple(float(weights @ shares @ combinations[:, i]) for i in range(len(eye.readings)))
    return Weighted(eye, draws, weights, gross)


def travel(found: Weighted) -> tuple[float, float]:
    """Mean and SD of the optic movement per mm of haptic."""
    return _moments(_value(found.eye, found.draws, "travel_ratio"), found.weights)


def final(
    found: Weighted, *, outside_mm: float, target_d: float, seed: int, unmoved: bool = False
) -> SampledOutcome:
    """Refraction at one month at a final length; ``unmoved`` keeps the last placement."""
    eye, draws = found.eye, found.draws
    rng = np.random.default_rng(seed)
    count = len(draws)
    execution = EXECUTION_SD_MM * rng.standard_normal((count, 2)).mean(axis=1) * (not unmoved)
    fresh = SLIP_SD_MM * rng.standard_normal(count)
    slip = _slip(eye, draws, eye.readings[-1].placement) if unmoved else fresh
    settle_mean, settle_sd = eye.belief("settle_d")
    refraction = (
        _refraction(eye, draws, outside_mm=outside_mm + execution, slip_mm=slip)
        + settle_mean + settle_sd * rng.standard_normal(count)
    )
    mean, sd = _moments(refraction, found.weights)
    distance = np.abs(refraction - target_d)
    within = tuple(float(found.weights @ (distance <= limit)) for limit in (0.25, 0.50, 1.00))
    return SampledOutcome(mean, sd, (within[0], within[1], within[2]))


def _moments(values: Array, weights: Array) -> tuple[float, float]:
    usable = weights > 0.0
    mean = float(weights[usable] @ values[usable])
    return mean, float(np.sqrt(weights[usable] @ (values[usable] - mean) ** 2))


if __name__ == "__main__":
    from tests.simulation.sampled_eyes import print_table

    print_table()
