"""Identities of the surgeon-level learning: order, exclusion, caps, formulas by hand."""

from __future__ import annotations

import math
import random
from dataclasses import replace

import pytest

from pycore.belief.gaussian import Gaussian, Linearised, observe
from pycore.belief.linear import cholesky, forward_solve
from pycore.belief.outcome import FinalView
from pycore.belief.priors import READING_NOISE_SD_D, UNKNOWNS, Prior, default_priors
from pycore.belief.readings import prior_belief
from pycore.belief.surgeon import (
    LEAST_FACTOR,
    MOST_FACTOR,
    SurgeonBelief,
    exact_parts,
    factor_of,
    learn,
    no_history,
    noise_sd_d,
)
from pycore.belief.surgeon_eye import LearningEye, Lesson, capped_solve, lesson
from pycore.belief.surgeon_fold import fold, noise_terms
from pycore.belief.surgeon_next import next_priors
from pycore.belief.surgeon_split import OWN_SD
from tests.simulation.simulated_surgeon import Surgeon, eyes

DEEP = Surgeon(position_mm=0.5, settle_d=-0.2, bias_d=0.15)
DEFAULTS = default_priors(axial_method="optical", lens_power_d=21.0)


def predicted_d(belief: SurgeonBelief, eye: LearningEye, outside_mm: float) -> float:
    view = FinalView.of(eye.eye, prior_belief(next_priors(belief, eye.priors)))
    return view.at(outside_mm).mean_d


def dated(found: list[LearningEye], source: random.Random) -> list[LearningEye]:
    """The same eyes in another order of surgery."""
    days = list(range(len(found)))
    source.shuffle(days)
    return [replace(eye, on=f"2026-01-{day:03d}") for eye, day in zip(found, days, strict=True)]


def test_without_eyes_everything_is_the_default() -> None:
    history = learn([])
    assert history.belief.eyes == 0
    assert history.trail == ()
    assert next_priors(history.belief, DEFAULTS) == DEFAULTS
    assert history.belief.noise_sd_d == READING_NOISE_SD_D
    assert (history.belief.plan_factor.value, history.belief.after_factor.value) == (1.0, 1.0)


def test_own_and_between_parts_make_the_total() -> None:
    """Position 0.20 and 0.45 make 0.49; the others as well (our table of assumptions)."""
    between = {"lens_position_mm": 0.45, "travel_ratio": 0.0566, "settle_d": 0.20, "entry_effect": 0.30,
               "tunnel_effect": 0.18, "reading_bias_d": 0.1414}
    for name, own in OWN_SD.items():
        assert math.hypot(own, between[name]) == pytest.approx(DEFAULTS[name].sd, abs=0.003), name


def test_the_order_of_a_list_does_not_matter_at_all() -> None:
    lessons = [lesson(eye) for eye in eyes(DEEP, 12, seed=3)]
    assert learn(lessons).belief == learn(lessons[::-1]).belief


@pytest.mark.parametrize("count", [2, 5, 20, 60])
@pytest.mark.parametrize("outliers", [0.0, 0.1])
def test_the_order_of_surgery_changes_predictions_by_less_than_a_fiftieth_of_a_dioptre(
    count: int, outliers: float
) -> None:
    source = random.Random(f"order {count} {outliers}")
    for seed in range(3):
        found = eyes(Surgeon(position_mm=0.3), count, seed=seed, outliers=outliers)
        beliefs = [learn([lesson(eye) for eye in dated(found, source)]).belief for _ in range(6)]
        for outside in (0.7, 2.0):
            seen = [predicted_d(belief, found[0], outside) for belief in beliefs]
            assert max(seen) - min(seen) < 0.02, (count, outliers, seed)


def test_an_eye_left_out_is_an_eye_that_never_was() -> None:
    found = [lesson(eye) for eye in eyes(DEEP, 10, seed=4)]
    without = learn([one for one in found if one.code != found[4].code])
    assert without.belief != learn(found).belief
    assert without.belief == learn([*found[:4], *found[5:]]).belief
    assert without.belief.eyes == 9


def test_an_edited_eye_changes_everything_after_it() -> None:
    found = eyes(DEEP, 10, seed=5)
    edited = [*found[:3], replace(found[3], follow_up_d=found[3].follow_up_d + 0.5), *found[4:]]
    before, after = (learn([lesson(eye) for eye in series]) for series in (found, edited))
    assert before.belief.own.mean != after.belief.own.mean
    assert all(a.belief.own != b.belief.own
               for a, b in zip(before.trail[3:], after.trail[3:], strict=True))


def one_eye(follow_up_shift_d: float) -> LearningEye:
    """An eye without readings whose follow-up lies so far from what is predicted."""
    eye = replace(eyes(Surgeon(), 1, seed=6)[0], readings=())
    view = FinalView(eye.eye, prior_belief(eye.priors))
    return replace(eye, follow_up_d=view.at(eye.final_outside_mm).mean_d + follow_up_shift_d)


def linear_eye(residual_d: float) -> tuple[Lesson, tuple[tuple[float, ...], ...]]:
    """A lesson with known numbers: total variance 0.25 = 0.04 of the surgeon + 0.21 of the eye."""
    row = (0.0, 1.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    found = Lesson("A", "2026-01-01", "flanged", 2.0, (residual_d,), (row,), (0.0,), ((0.21,),), (None,))
    return found, ((1.0,),)


def test_a_step_by_hand() -> None:
    """Own variance 0.04, eye's 0.21, surprise 0.5 D: one SD; the mean moves by 0.04/0.25 of it."""
    found, rows = linear_eye(0.5)
    folded = fold(Gaussian((0.0,), ((0.04,),)), rows, found, READING_NOISE_SD_D)
    assert folded.plan == pytest.approx(1.0)
    assert folded.after_readings is None
    assert folded.belief.mean[0] == pytest.approx(0.08)
    assert folded.belief.covariance[0][0] == pytest.approx(0.04 - 0.04**2 / 0.25)


def test_a_step_counts_as_at_most_two_sd() -> None:
    """2 SD are 1.0 D here: the mean moves by 0.16, however far the follow-up lies."""
    start = Gaussian((0.0,), ((0.04,),))
    for residual in (1.0, 1.5, 5.0, 50.0):
        found, rows = linear_eye(residual)
        folded = fold(start, rows, found, READING_NOISE_SD_D)
        assert folded.belief.mean[0] == pytest.approx(0.16)
        assert folded.plan == pytest.approx(2.0 * residual)
    found, rows = linear_eye(-50.0)
    assert fold(start, rows, found, READING_NOISE_SD_D).belief.mean[0] == pytest.approx(-0.16)


def test_a_wild_follow_up_moves_the_surgeon_hardly_more_than_two_sd() -> None:
    odd, wild = (learn([lesson(one_eye(shift))]).belief for shift in (1.6, 8.0))
    eye = one_eye(0.0)
    moved = [predicted_d(belief, eye, 2.0) - predicted_d(no_history(), eye, 2.0) for belief in (odd, wild)]
    assert 0.0 < moved[0] <= moved[1] < 1.15 * moved[0]


def test_capped_substitution_is_ordinary_until_the_cap_bites() -> None:
    lower = cholesky(((1.0, 0.3, 0.2), (0.3, 1.5, 0.4), (0.2, 0.4, 2.0)))
    right = (0.5, -0.8, 1.1)
    assert capped_solve(lower, right).capped == pytest.approx(forward_solve(lower, right))
    capped = capped_solve(lower, (7.0, 0.0, 0.0))
    assert capped.plain[0] == pytest.approx(7.0)
    assert capped.capped[0] == 2.0
    assert capped.plain[1] == pytest.approx(-lower[1][0] * 2.0 / lower[1][1])


def test_the_factor_formula_by_hand() -> None:
    """z = 1, 2 and 4 (counts as 3): f2 = (5 + 1.05 x 14) / 8 = 2.4625."""
    found = factor_of([1.0, 4.0, min(4.0**2, 9.0)])
    assert found.value == pytest.approx(math.sqrt(2.4625))
    assert found.bound is None
    assert factor_of([]).value == 1.0


def test_parts_of_a_sum_are_the_sum_to_the_last_digit() -> None:
    source = random.Random("parts")
    parts: list[float] = []
    squares: list[float] = []
    for _ in range(400):
        squares.append(min(source.gauss(0.0, 10.0 ** source.randint(-8, 2)) ** 2, 9.0))
        parts = exact_parts(parts, squares[-1])
        assert math.fsum(parts) == math.fsum(squares)
        assert len(parts) <= 40  # parts do not overlap: 53 of at most 2098 binary digits each
    assert factor_of(parts, count=400) == factor_of(squares)


def test_factors_are_kept_within_bounds_and_say_so() -> None:
    low, high = factor_of([0.0] * 40), factor_of([9.0] * 400)
    assert (low.value, low.bound) == (LEAST_FACTOR, "least")
    assert low.unbounded == pytest.approx(math.sqrt(5 / 45))
    assert (high.value, high.bound) == (MOST_FACTOR, "most")
    assert high.unbounded == pytest.approx(math.sqrt((5 + 1.05 * 3600) / 405))


def test_the_noise_formula_by_hand() -> None:
    """s0 = 0.25, two readings with min(r^2, 9 s^2) + v of 0.10 and 0.15: (0.625 + 0.25) / 12."""
    assert noise_sd_d(0.25, [0.10, 0.15]) == pytest.approx(math.sqrt(0.875 / 12))
    assert noise_sd_d(0.25, []) == 0.25


def test_noise_terms_by_hand() -> None:
    """Noise 0.25^2 = 0.0625 of a total 0.0625 + 0.0375: r = 0.625 x surprise, v = 0.0625 x 0.375."""
    row = (0.0,) * 7
    eye = Lesson("A", "2026-01-01", "flanged", 2.0, (0.4, 0.0), (row, row), (0.0, 0.0),
                 ((0.0375,), (0.0, 1.0)), ("aberrometer", None))
    start = Gaussian((0.0,), ((1.0,),))
    ((name, term),) = noise_terms(fold(start, ((0.0,), (0.0,)), eye, READING_NOISE_SD_D), eye,
                                  READING_NOISE_SD_D)
    assert name == "aberrometer"
    assert term == pytest.approx((0.625 * 0.4) ** 2 + 0.0625 * 0.375)
    wild = replace(eye, residual=(40.0, 0.0))
    ((_, term),) = noise_terms(fold(start, ((0.0,), (0.0,)), wild, READING_NOISE_SD_D), wild,
                               READING_NOISE_SD_D)
    assert term == pytest.approx(9 * 0.0625 + 0.0625 * 0.375)


def test_marginalising_the_eye_is_observing_it_whole() -> None:
    """Surgeon and eye in one big Gaussian give the surgeon the same answer as the lesson does."""
    row_own, row_eye, own_var, eye_var = 1.3, 1.3, 0.04, 0.20
    noise, y = 0.06, 0.7
    whole = observe(
        Gaussian((0.0, 0.0), ((own_var, 0.0), (0.0, eye_var))), [y],
        Linearised((0.0, 0.0), (0.0,), ((row_own, row_eye),), ((noise,),)),
    ).belief
    eye = Lesson("A", "2026-01-01", "flanged", 2.0, (y,), ((0.0,) * 7,), (1.3,),
                 ((row_eye**2 * eye_var + noise,),), (None,))
    part = fold(Gaussian((0.0,), ((own_var,),)), ((row_own,),), eye, READING_NOISE_SD_D).belief
    assert part.mean[0] == pytest.approx(whole.mean[0])
    assert part.covariance[0][0] == pytest.approx(whole.covariance[0][0])


def test_a_lesson_does_not_depend_on_other_eyes_or_on_where_it_was_linearised() -> None:
    """With the surgeon's own deviations known, the residual left is small at the eye's own data."""
    for eye in eyes(Surgeon(position_mm=0.5), 5, seed=9):
        nearer = replace(eye, priors={**eye.priors, "lens_position_mm": Prior(0.3, 0.49)})
        first, second = lesson(eye), lesson(nearer)
        for i, slope in enumerate(first.positions):
            assert second.residual[i] == pytest.approx(first.residual[i] - 0.3 * slope, abs=0.02)


def test_priors_of_the_next_eye_are_a_covariance_and_keep_what_is_not_the_surgeons() -> None:
    belief = learn([lesson(eye) for eye in eyes(DEEP, 20, seed=7)]).belief
    priors = next_priors(belief, DEFAULTS)
    whole = prior_belief(priors)
    cholesky(whole.covariance)
    for name in ("axial_length_mm", "corneal_power_d", "lens_label_d"):
        assert priors[name] == DEFAULTS[name]
    position, settle = UNKNOWNS.index("lens_position_mm"), UNKNOWNS.index("settle_d")
    assert whole.covariance[position][settle] < 0.0
    assert whole.covariance[position][settle] == whole.covariance[settle][position]
    assert priors["lens_position_mm"].sd < DEFAULTS["lens_position_mm"].sd


def test_replacing_one_unknown_frees_the_others_from_it() -> None:
    belief = learn([lesson(eye) for eye in eyes(DEEP, 20, seed=8)]).belief
    priors = {**next_priors(belief, DEFAULTS), "settle_d": Prior(0.0, 0.1)}
    whole = prior_belief(priors)
    place = UNKNOWNS.index("settle_d")
    assert [value for other, value in enumerate(whole.covariance[place]) if other != place] == [0.0] * 12
    cholesky(whole.covariance)


def test_a_mean_is_never_changed_by_a_factor() -> None:
    eye = eyes(Surgeon(), 1, seed=1)[0]
    belief = prior_belief(eye.priors)
    plain, wide = FinalView.of(eye.eye, belief), FinalView.of(eye.eye, belief, factor=1.7)
    assert wide.at(2.0).mean_d == plain.at(2.0).mean_d
    assert wide.at(2.0).sd_d == pytest.approx(1.7 * plain.at(2.0).sd_d)
