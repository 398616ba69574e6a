"""Readings that contradict the plan: another lens, eye or patient, or a working distance left in."""

from __future__ import annotations

import pytest

from pycore.belief.eye import EyeModel, predict_reading
from pycore.belief.priors import default_priors
from pycore.belief.readings import Reading, prior_belief
from pycore.fixation.haptic import FlangePlan
from pycore.planning.power_check import Surprise, contradiction, may_hold_distance, surprises
from pycore.planning.titrate import Case

EYE = EyeModel(23.7, 5.4, 42.7, 21.0)
PRIORS = default_priors(axial_method="optical", lens_power_d=21.0)


def expected_d(outside_mm: float) -> float:
    """What the plan alone expects of an aberrometer there."""
    mean = prior_belief(PRIORS).mean
    return predict_reading(EYE, mean, outside_mm=outside_mm, instrument="aberrometer", latest=True).value_d


def case(*offs_d: float) -> Case:
    """Readings that lie ``offs_d`` from what the plan expects."""
    readings = tuple(
        Reading(e, expected_d(e) + off, "aberrometer", 0.25, place)
        for place, (e, off) in enumerate(zip((2.5, 1.0, 1.8), offs_d, strict=False))
    )
    return Case(EYE, PRIORS, readings, FlangePlan(drawn_out_mm=2.5), -0.5)


def test_a_reading_where_the_plan_expects_it_surprises_nobody() -> None:
    for found in surprises(case(0.0, 0.0)):
        assert found == Surprise(pytest.approx(0.0), pytest.approx(0.0))


def test_minus_is_more_myopic_and_the_size_is_that_of_the_difference() -> None:
    found = surprises(case(-1.25))[0]
    assert found.by_d == pytest.approx(-1.25)
    assert found.sds < 0.0


def test_a_plan_is_contradicted_by_every_reading_or_by_none() -> None:
    assert contradiction(surprises(case())) is None
    assert contradiction(surprises(case(4.0, 0.1))) is None, "one wild reading is doubtful, not the plan"
    assert contradiction(surprises(case(4.0, -4.0))) is None
    found = contradiction(surprises(case(4.0, 3.6)))
    assert found is not None
    assert found.by_d == pytest.approx(3.6)


def test_ordinary_surprises_contradict_nothing() -> None:
    assert contradiction(surprises(case(1.0, 1.1))) is None


@pytest.mark.parametrize(("by_d", "sd_d", "asks"), [
    (1.6, 0.9, True), (2.4, 0.9, True), (0.9, 0.9, False), (-1.6, 0.9, False), (5.0, 0.9, False),
])
def test_a_working_distance_left_in_is_asked_about(by_d: float, sd_d: float, asks: bool) -> None:
    """Asked where 1.50 D less would leave under half of the surprise, and only toward hyperopia."""
    assert may_hold_distance(Surprise(by_d, by_d / sd_d)) is asks
