"""One finished eye as a lesson: what it says about the surgeon, the eye itself marginalised.

The readings ``y_i`` and the follow-up ``y_f`` are linearised once, where this eye's own data
put it (iterated steps from the default belief, each surprise capped). With ``s`` the
surgeon's own deviations from the defaults::

    residual = rows . s + error,     error ~ N(0, noise + diagonal(instrument noise))

``noise`` holds everything of this eye alone: its own deviations, the slip and drift of each
placement, carrying out the last cut, and what makes a follow-up weaker. Linearising at the
eye's own data, and not at the surgeon's belief of the day, leaves less than 0.005 D of error
and makes a lesson independent of all other eyes. Test: ``tests/limits/test_surgeon.py``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from pycore.belief.eye import REFERENCE_TUNNEL_MM, EyeModel, Predicted, predict_final, predict_reading
from pycore.belief.linear import Matrix, Vector, add, cholesky, dot
from pycore.belief.priors import (
    DRIFT_SD_D,
    EXECUTION_SD_MM,
    INDEX,
    READING_NOISE_SD_D,
    SLIP_SD_MM,
    UNKNOWNS,
    Prior,
    by_unknown,
)
from pycore.belief.readings import Reading
from pycore.belief.surgeon_split import FLANGED, POSITION, SHARED, between_variance

#: A surprise counts as at most so many SD, so that one odd eye cannot lead the surgeon.
MOST_STEP_SD: Final = 2.0
#: Steps stop when no unknown moves further than this (mm or D).
_CONVERGED: Final = 1e-3
_MOST_STEPS: Final = 8

_PLACEMENT: Final = ("slip_mm", "drift_d")
_SHARED_AT: Final = tuple(INDEX[name] for name in SHARED)
_POSITION_AT: Final = INDEX[POSITION]


@dataclass(frozen=True, slots=True)
class LearningEye:
    """Plain numbers of one eye with a usable follow-up.

    ``on`` orders the eyes (date of surgery); ``final_outside_mm`` is the mean length to the
    original tips that was left, ``unmoved`` whether nothing moved since the latest reading;
    ``follow_up_noise_sd_d`` is what a weak follow-up adds to an ordinary one's error.
    """

    code: str
    on: str
    eye: EyeModel
    priors: dict[str, Prior]
    readings: tuple[Reading, ...]
    final_outside_mm: float
    follow_up_d: float
    follow_up_noise_sd_d: float = 0.0
    final_length_sd_mm: float = 0.0
    unmoved: bool = False
    style: str = FLANGED


@dataclass(frozen=True, slots=True)
class Lesson:
    """One eye's residuals with their gradient over the surgeon's own deviations.

    ``rows`` follow :data:`SHARED`; ``positions`` is each row's slope over the lens position
    of this eye's style. ``instruments`` names the noise each entry still lacks; the follow-up
    is last and lacks none.
    """

    code: str
    on: str
    style: str
    entry_mm: float
    residual: Vector
    rows: Matrix
    positions: Vector
    noise: Matrix
    instruments: tuple[str | None, ...]
    tunnel_mm: float = REFERENCE_TUNNEL_MM


def lesson(learning: LearningEye) -> Lesson:
    """The lesson of one eye.

    Raises :class:`OpticsError` when no image can be formed with these numbers.
    """
    prior = by_unknown(learning.priors)
    at = tuple(part.mean for part in prior)
    for _ in range(_MOST_STEPS):
        new = _step(learning, prior, at)
        moved = max(map(abs, add(new, at, scale=-1.0)))
        at = new
        if moved < _CONVERGED:
            break
    return _lesson_at(learning, prior, at)


def _lesson_at(learning: LearningEye, prior: tuple[Prior, ...], at: Vector) -> Lesson:
    predicted = _predicted(learning, at)
    between = [
        0.0 if name in _PLACEMENT else between_variance(name, part)
        for name, part in zip(UNKNOWNS, prior, strict=True)
    ]
    return Lesson(
        code=learning.code,
        on=learning.on,
        style=learning.style,
        entry_mm=learning.eye.entry_mm,
        tunnel_mm=learning.eye.tunnel_mm,
        residual=_residual(learning, prior, at, predicted),
        rows=tuple(tuple(part.gradient[i] for i in _SHARED_AT) for part in predicted),
        positions=tuple(part.gradient[_POSITION_AT] for part in predicted),
        noise=_covariance(learning, predicted, between, prior),
        instruments=(*map(_instrument, learning.readings), None),
    )


def _step(learning: LearningEye, prior: tuple[Prior, ...], at: Vector) -> Vector:
    """One linearised step of the whole eye, from its default belief."""
    predicted = _predicted(learning, at)
    total = [
        0.0 if name in _PLACEMENT else part.sd * part.sd
        for name, part in zip(UNKNOWNS, prior, strict=True)
    ]
    noise = _covariance(learning, predicted, total, prior)
    own = [reading.noise_sd_d**2 if _instrument(reading) else 0.0 for reading in learning.readings]
    lower = cholesky(plus_diagonal(noise, (*own, 0.0)))
    steps = capped_solve(lower, _residual(learning, prior, at, predicted))
    weights = back_solve(lower, steps.capped)
    pulls = [dot(gradient, weights) for gradient in zip(*(part.gradient for part in predicted), strict=True)]
    return add([part.mean for part in prior], _spread(total, _linked(prior), pulls))


Links = Sequence[tuple[int, int, float]]


def _linked(prior: tuple[Prior, ...]) -> Links:
    """Covariances between two unknowns of the eye, such as length and cornea after an aphakic reading."""
    return [
        (at, INDEX[other], covariance)
        for at, part in enumerate(prior)
        for other, covariance in part.shared
        if at < INDEX[other] and UNKNOWNS[at] in dict(prior[INDEX[other]].shared)
    ]


def _spread(variances: Sequence[float], links: Links, vector: Sequence[float]) -> list[float]:
    """The covariance of the unknowns times ``vector``."""
    spread = [v * x for v, x in zip(variances, vector, strict=True)]
    for i, j, covariance in links:
        spread[i] += covariance * vector[j]
        spread[j] += covariance * vector[i]
    return spread


def _predicted(learning: LearningEye, at: Vector) -> list[Predicted]:
    """Readings, then the follow-up; the slip of every placement is in the noise."""
    eye = learning.eye
    return [
        *(
            predict_reading(
                eye, at, outside_mm=one.outside_mm, instrument=one.instrument, latest=False
            )
            for one in learning.readings
        ),
        predict_final(eye, at, outside_mm=learning.final_outside_mm, unmoved=False),
    ]


def _residual(
    learning: LearningEye, prior: tuple[Prior, ...], at: Vector, predicted: Sequence[Predicted]
) -> Vector:
    """Observed less what the default means predict, extrapolated from ``at``."""
    observed = (*(one.refraction_d for one in learning.readings), learning.follow_up_d)
    offset = tuple(part.mean - place for part, place in zip(prior, at, strict=True))
    return tuple(
        y - part.value_d - dot(part.gradient, offset)
        for y, part in zip(observed, predicted, strict=True)
    )


def _instrument(reading: Reading) -> str | None:
    """Whose noise is to be calibrated; a noise stated by hand is left as stated."""
    usual = reading.noise_sd_d == READING_NOISE_SD_D[reading.instrument]
    return reading.instrument if usual else None


def _covariance(
    learning: LearningEye,
    predicted: Sequence[Predicted],
    variances: Sequence[float],
    prior: tuple[Prior, ...],
) -> Matrix:
    """Lower triangle: unknowns with ``variances``, placements, last step, stated noise."""
    links = _linked(prior)
    spread = [_spread(variances, links, part.gradient) for part in predicted]
    travel = prior[INDEX["travel_ratio"]]
    extra = [_reading_extra(learning, predicted, travel, i) for i in range(len(learning.readings))]
    extra.append(_final_extra(learning, predicted, travel))
    return tuple(
        tuple(dot(predicted[j].gradient, spread[i]) + extra[i][j] for j in range(i + 1))
        for i in range(len(predicted))
    )


def _reading_extra(
    learning: LearningEye, predicted: Sequence[Predicted], travel: Prior, i: int
) -> list[float]:
    """Slip, drift and a named end's length error, shared by the readings of one placement."""
    readings = learning.readings
    row = []
    for j in range(i + 1):
        first, second = readings[i], readings[j]
        same = first.placement == second.placement
        optic = SLIP_SD_MM**2 + travel.mean**2 * first.length_sd_mm * second.length_sd_mm
        slopes = predicted[i].per_position * predicted[j].per_position
        row.append(slopes * optic + DRIFT_SD_D**2 if same else 0.0)
    if _instrument(readings[i]) is None:
        row[i] += readings[i].noise_sd_d ** 2
    return row


def _final_extra(
    learning: LearningEye, predicted: Sequence[Predicted], travel: Prior
) -> list[float]:
    """The last step's slip and length error; the latest placement's slip if nothing moved."""
    slope = predicted[-1].per_position
    length = learning.final_length_sd_mm**2
    length += 0.0 if learning.unmoved else EXECUTION_SD_MM**2 / 2
    own = slope**2 * (SLIP_SD_MM**2 + (travel.mean**2 + travel.sd**2) * length)
    latest = learning.readings[-1].placement if learning.readings and learning.unmoved else None
    shared = [
        slope * part.per_position * SLIP_SD_MM**2 if one.placement == latest else 0.0
        for one, part in zip(learning.readings, predicted, strict=False)
    ]
    return [*shared, own + learning.follow_up_noise_sd_d**2]


def plus_diagonal(lower: Matrix, values: Sequence[float]) -> Matrix:
    """A lower triangle with ``values`` added on its diagonal."""
    return tuple(
        (*row[:-1], row[-1] + value) for row, value in zip(lower, values, strict=True)
    )


@dataclass(frozen=True, slots=True)
class Surprises:
    """Each observation's surprise in SD given those before it, as it is and as it counts."""

    plain: list[float]
    capped: list[float]


def capped_solve(lower: Sequence[Sequence[float]], right: Sequence[float]) -> Surprises:
    """Forward substitution in which every solved value counts as at most the cap.

    Without a value beyond the cap it is the ordinary one; with one, the values after it are
    judged against the step that was actually taken.
    """
    found = Surprises([], [])
    for row, value in zip(lower, right, strict=True):
        count = len(found.capped)
        plain = (value - dot(row[:count], found.capped)) / row[count]
        found.plain.append(plain)
        found.capped.append(min(max(plain, -MOST_STEP_SD), MOST_STEP_SD))
    return found


def back_solve(lower: Sequence[Sequence[float]], right: Sequence[float]) -> Vector:
    """``x`` with ``lower^T @ x = right``."""
    size = len(right)
    solved = [0.0] * size
    for i in range(size - 1, -1, -1):
        below = [lower[k][i] for k in range(i + 1, size)]
        solved[i] = (right[i] - dot(below, solved[i + 1 :])) / lower[i][i]
    return tuple(solved)
