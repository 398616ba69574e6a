"""The second route: identities of the combination and of what would explain a disagreement."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from pycore.belief.gaussian import Linearised, observe
from pycore.belief.priors import INDEX, Prior, default_priors
from pycore.belief.readings import prior_belief
from pycore.formulas import ThinEye
from pycore.optics.vergence import lens_power_d, refraction_d
from pycore.planning.aphakic import (
    AphakicReading,
    LengthAndCornea,
    after_aphakic,
    aphakic_route,
    aphakic_slopes,
    power_route,
    second_route,
    with_both_routes,
)
from pycore.planning.recheck import AsTaken, Entered, candidates

EYE = ThinEye(23.7, 5.3, 42.96)
CONTACT = LengthAndCornea(Prior(0.20, 0.26), Prior(0.0, 0.20))
OPTICAL = LengthAndCornea(Prior(0.0, 0.03), Prior(0.0, 0.20))
EXPECTED_D = aphakic_slopes(EYE, (0.20, 0.0)).refraction_d
ENTERED = Entered(23.5, 43.5)


def route(reading: AphakicReading, before: LengthAndCornea = CONTACT, position_sd_mm: float = 0.49):  # type: ignore[no-untyped-def]
    return second_route(EYE, before, reading, target_d=-0.5, position_sd_mm=position_sd_mm)


def test_without_a_lens_the_lens_position_drops_out() -> None:
    places = [aphakic_slopes(replace(EYE, lens_position_mm=place), (0.0, 0.0)) for place in (3.0, 5.3, 8.0)]
    assert [part.refraction_d for part in places] == pytest.approx([places[0].refraction_d] * 3, abs=1e-12)
    assert [part.per_lens_position for part in places] == [0.0, 0.0, 0.0]


def test_an_exact_eye_gives_the_same_power_by_both_routes() -> None:
    found = route(AphakicReading(EXPECTED_D, 0.4))
    assert found.aphakic.power_d == pytest.approx(found.biometry.power_d, abs=1e-9)
    assert found.combined.power_d == pytest.approx(found.biometry.power_d, abs=1e-9)
    assert found.surprise_sds == pytest.approx(0.0, abs=1e-12)


def test_the_second_route_is_the_first_one_with_the_length_it_implies() -> None:
    reading = AphakicReading(12.0, 0.4)
    implied = 1336.0 / (42.96 + 12.0 / (1.0 - 0.144))
    power = lens_power_d(axial_length_mm=implied, lens_position_mm=5.3, corneal_power_d=42.96,
                         refraction_d=-0.5)
    assert route(reading).aphakic.power_d == pytest.approx(power, abs=1e-9)


def test_more_hyperopic_means_a_shorter_eye_a_flatter_cornea_and_more_power() -> None:
    found = route(AphakicReading(EXPECTED_D + 0.5, 0.4))
    assert found.surprise_d == pytest.approx(0.5)
    assert found.belief.length.mean < CONTACT.length.mean
    assert found.belief.cornea.mean < CONTACT.cornea.mean
    assert found.biometry.power_d < found.combined.power_d < found.aphakic.power_d


def test_both_together_are_surer_than_either() -> None:
    found = route(AphakicReading(EXPECTED_D + 0.2, 0.4))
    assert found.combined.sd_d < min(found.biometry.sd_d, found.aphakic.sd_d)
    assert found.belief.length.sd < CONTACT.length.sd
    assert found.belief.correlation < 0.0


def test_the_two_routes_weigh_by_their_variances_when_only_the_length_is_unsure() -> None:
    """One unknown, nearly linear: the combination is the textbook weighted mean."""
    before = LengthAndCornea(Prior(0.0, 0.05), Prior(0.0, 0.0))
    reading = AphakicReading(aphakic_slopes(EYE, (0.0, 0.0)).refraction_d + 0.1, 0.1, Prior(0.0, 0.0))
    found = route(reading, before)
    first, second = found.biometry.sd_d**-2, found.aphakic.sd_d**-2
    mean = (first * found.biometry.power_d + second * found.aphakic.power_d) / (first + second)
    assert found.combined.power_d == pytest.approx(mean, abs=0.01)
    assert found.combined.sd_d == pytest.approx((first + second) ** -0.5, rel=0.03)


def test_an_optical_length_is_hardly_moved() -> None:
    found = route(AphakicReading(aphakic_slopes(EYE, (0.0, 0.0)).refraction_d + 0.8, 0.4), OPTICAL)
    apart = found.aphakic.power_d - found.biometry.power_d
    assert 0.0 < found.combined.power_d - found.biometry.power_d < apart / 10
    assert found.biometry.sd_d < found.aphakic.sd_d / 3


def test_a_wild_reading_moves_less_than_a_plain_update_would() -> None:
    reading = AphakicReading(EXPECTED_D + 5.0, 0.4)
    belief, gross = after_aphakic(EYE, CONTACT, reading)
    slopes = aphakic_slopes(EYE, CONTACT.gaussian().mean)
    row = (slopes.per_axial_length, slopes.per_corneal_power)
    model = Linearised(CONTACT.gaussian().mean, (slopes.refraction_d,), (row,), ((reading.variance,),))
    plain = observe(CONTACT.gaussian(), (reading.refraction_d,), model).belief
    assert gross > 0.99
    assert 0.0 < CONTACT.length.mean - belief.length.mean < (CONTACT.length.mean - plain.mean[0]) / 2


@pytest.mark.parametrize("surprise", [-1.9, 1.9])
def test_beyond_two_and_a_half_sds_a_recheck_is_asked(surprise: float) -> None:
    spread = abs(surprise / route(AphakicReading(EXPECTED_D + surprise, 0.4)).surprise_sds)
    sign = math.copysign(1.0, surprise)
    assert route(AphakicReading(EXPECTED_D + sign * 2.51 * spread, 0.4)).recheck
    assert not route(AphakicReading(EXPECTED_D + sign * 2.49 * spread, 0.4)).recheck


def test_slopes_of_the_powers_are_those_of_finite_differences() -> None:
    step, before = 1e-5, LengthAndCornea(Prior(0.0, 1.0), Prior(0.0, 0.0))
    power = [power_route(EYE, LengthAndCornea(Prior(move, 1.0), Prior(0.0, 0.0)), target_d=-0.5,
                         position_sd_mm=0.0).power_d for move in (-step, step)]
    assert power_route(EYE, before, target_d=-0.5, position_sd_mm=0.0).sd_d == pytest.approx(
        abs(power[1] - power[0]) / (2 * step), rel=1e-6)
    exact = LengthAndCornea(Prior(0.0, 0.0), Prior(0.0, 0.0))
    reading = AphakicReading(12.0, 1.0, Prior(0.0, 0.0))
    ends = [aphakic_route(EYE, exact, AphakicReading(12.0 + move, 1.0), target_d=-0.5,
                          position_sd_mm=0.0).power_d for move in (-step, step)]
    assert aphakic_route(EYE, exact, reading, target_d=-0.5, position_sd_mm=0.0).sd_d == pytest.approx(
        (ends[1] - ends[0]) / (2 * step), rel=1e-6)
    deeper = [aphakic_route(replace(EYE, lens_position_mm=5.3 + move), exact, reading, target_d=-0.5,
                            position_sd_mm=0.0).power_d for move in (-step, step)]
    with_position = aphakic_route(EYE, exact, reading, target_d=-0.5, position_sd_mm=1.0)
    assert math.sqrt(with_position.total_sd_d**2 - with_position.sd_d**2) == pytest.approx(
        abs(deeper[1] - deeper[0]) / (2 * step), rel=1e-6)


def test_every_candidate_alone_explains_the_reading() -> None:
    """Each would-be value, put in place of what was entered, gives back the reading."""
    reading = AphakicReading(13.2, 0.45)
    taken = AsTaken(entered_d=13.2 + 2.0, vertex_mm=12.0, working_distance_m=0.5)
    found = {one.name: one for one in candidates(EYE, OPTICAL, reading, entered=ENTERED, taken=taken)}
    assert set(found) == {"axial_length_mm", "k_mean_d", "aphakic_refraction_d", "vertex_mm",
                          "working_distance_m"}

    def expected(length: float, cornea: float) -> float:
        return refraction_d(axial_length_mm=length, lens_position_mm=5.0, corneal_power_d=cornea,
                            lens_power_d=0.0)

    plain = expected(23.7, 42.96)
    assert expected(23.7 + found["axial_length_mm"].change, 42.96) == pytest.approx(13.2, abs=1e-9)
    scaled = 42.96 * (1.0 + found["k_mean_d"].change / 43.5)
    assert expected(23.7, scaled) == pytest.approx(13.2, abs=1e-9)
    assert found["aphakic_refraction_d"].would_be - 2.0 == pytest.approx(plain, abs=1e-9)
    assert 15.2 - 1.0 / found["working_distance_m"].would_be == pytest.approx(plain, abs=1e-9)
    vertex = found["vertex_mm"].would_be / 1000.0
    assert 13.2 / (1.0 - vertex * 13.2) == pytest.approx(plain / (1.0 - 0.012 * plain), abs=1e-9)
    assert [one.in_sds for one in found.values()] == sorted(one.in_sds for one in found.values())


def test_a_certain_input_is_no_candidate() -> None:
    certain = LengthAndCornea(Prior(0.0, 0.0), Prior(0.0, 0.0))
    taken = AsTaken(13.0, 12.0)
    names = {one.name for one in candidates(EYE, certain, AphakicReading(13.0, 0.4), entered=ENTERED,
                                            taken=taken)}
    assert names == {"aphakic_refraction_d", "vertex_mm"}


def test_the_prior_of_the_readings_carries_the_covariance() -> None:
    found = route(AphakicReading(EXPECTED_D + 0.4, 0.4))
    priors = default_priors(axial_method="contact", lens_power_d=21.0)
    joint = prior_belief(with_both_routes(priors, found.belief))
    first, second = INDEX["axial_length_mm"], INDEX["corneal_power_d"]
    gaussian = found.belief.gaussian()
    assert joint.covariance[first][second] == joint.covariance[second][first] == gaussian.covariance[0][1]
    assert (joint.mean[first], joint.mean[second]) == gaussian.mean
    rest = [i for i in range(len(joint.mean)) if i not in (first, second)]
    before = prior_belief(priors)
    assert all(joint.covariance[i] == before.covariance[i] for i in rest)


def test_there_and_back_of_the_joint_belief() -> None:
    belief = LengthAndCornea(Prior(0.1, 0.2), Prior(-0.1, 0.3), -0.4)
    again = LengthAndCornea.of(belief.gaussian())
    assert again.correlation == pytest.approx(-0.4)
    assert LengthAndCornea.of(LengthAndCornea(Prior(0.0, 0.0), Prior(0.0, 0.3)).gaussian()).correlation == 0.0
