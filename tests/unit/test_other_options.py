"""When another lens is offered, and when it is not."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pycore.belief.eye import EyeModel
from pycore.belief.priors import default_priors
from pycore.belief.readings import Reading
from pycore.fixation.haptic import FlangePlan
from pycore.planning.other_options import another_lens
from pycore.planning.titrate import Case, titrate

POWERS = (17.0, 18.0, 19.0, 20.0, 21.0, 22.0, 23.0, 24.0)


def case(*refractions_d: float) -> Case:
    lengths = (2.5, 1.0, 1.8, 2.5)
    return Case(
        eye=EyeModel(23.7, 5.4, 42.7, 21.0),
        priors=default_priors(axial_method="optical", lens_power_d=21.0),
        readings=tuple(
            Reading(e, y, "aberrometer", 0.25, n)
            for n, (e, y) in enumerate(zip(lengths, refractions_d, strict=False))
        ),
        plan=FlangePlan(drawn_out_mm=2.5),
        target_d=-0.5,
    )


MYOPIC = case(-3.0, -2.6, -2.8, -3.0)


def test_a_large_repeated_surprise_offers_a_weaker_lens() -> None:
    found = another_lens(MYOPIC, titrate(MYOPIC), POWERS)
    assert found is not None and found.offered
    assert found.outlook.lens_power_d < 21.0
    assert found.gain >= 0.25
    assert found.residual_d <= -1.0


def test_a_hyperopic_surprise_offers_a_stronger_lens() -> None:
    eye = case(1.8, 2.2, 2.0, 1.8)
    found = another_lens(eye, titrate(eye), POWERS, iop_mmhg=18.0)
    assert found is not None and found.offered and found.outlook.lens_power_d > 21.0


def test_not_in_a_soft_eye() -> None:
    eye = case(1.8, 2.2, 2.0, 1.8)
    found = another_lens(eye, titrate(eye), POWERS, iop_mmhg=6.0)
    assert found is not None and found.unmet == ("soft_eye",)


def test_a_soft_eye_does_not_explain_myopia() -> None:
    found = another_lens(MYOPIC, titrate(MYOPIC), POWERS, iop_mmhg=6.0)
    assert found is not None and found.offered


def test_not_for_a_small_residual() -> None:
    eye = case(-0.9, -0.5, -0.7)
    found = another_lens(eye, titrate(eye), POWERS)
    assert found is not None and "residual_small" in found.unmet


def test_not_from_one_reading() -> None:
    eye = case(-3.0)
    found = another_lens(eye, titrate(eye), POWERS)
    assert found is not None and "not_repeated" in found.unmet


@pytest.mark.parametrize("state", ["one_flanged", "both_flanged", "buried"])
def test_not_once_flanged(state: str) -> None:
    flanged = replace(
        MYOPIC, haptic_state=state, plan=FlangePlan(drawn_out_mm=2.5, removed_mm=(1.5, 1.5))
    )
    found = another_lens(flanged, titrate(flanged), POWERS)
    assert found is not None and "flanged" in found.unmet


def test_none_without_another_lens_or_reading() -> None:
    assert another_lens(MYOPIC, titrate(MYOPIC), (21.0,)) is None
    unread = case()
    assert another_lens(unread, titrate(unread), POWERS) is None
