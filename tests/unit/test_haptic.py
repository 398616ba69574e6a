"""Haptic arithmetic by hand: lengths, cuts, reach, and what cannot be done."""

from __future__ import annotations

import pytest

from pycore.errors import Infeasible
from pycore.fixation.haptic import (
    FlangePlan,
    cuts_mm,
    nothing_cut_mm,
    reachable_mm,
    refuse_too_short,
    sides_mm,
    taut_mm,
)


def test_the_cut_is_length_less_melt_plus_bury_less_removed() -> None:
    """c = e - m + b - removed, worked by hand: 2.0 - 1.0 + 0.3 - 0.2 = 1.1."""
    plan = FlangePlan(drawn_out_mm=2.7, melt_mm=1.0, bury_mm=0.3, removed_mm=(0.2, 0.0))
    assert cuts_mm(plan, 2.0) == pytest.approx((1.1, 1.3))


def test_after_cutting_melting_and_burying_the_length_is_what_was_wanted() -> None:
    """e = c + m - b, with everything removed counted from the original tip."""
    plan = FlangePlan(drawn_out_mm=3.0, melt_mm=1.2, bury_mm=0.4, removed_mm=(0.5, 0.3))
    for side, cut in enumerate(cuts_mm(plan, 2.1)):
        assert plan.removed_mm[side] + cut + plan.melt_mm - plan.bury_mm == pytest.approx(2.1)


@pytest.mark.parametrize("outside_mm", [1.2, 1.9, 2.4])
@pytest.mark.parametrize("centred", [(2.4, 2.0), (1.6, 2.6), (2.2, 2.2)])
def test_both_sides_shift_by_the_same_delta_from_the_centred_lengths(
    outside_mm: float, centred: tuple[float, float]
) -> None:
    plan = FlangePlan(drawn_out_mm=3.2, centred_outside_mm=centred)
    first, second = sides_mm(plan, outside_mm)
    assert first - centred[0] == pytest.approx(second - centred[1])
    assert (first + second) / 2 == pytest.approx(outside_mm)
    cuts = cuts_mm(plan, outside_mm)
    assert cuts[0] - cuts[1] == pytest.approx(centred[0] - centred[1])


def test_unequal_removal_is_made_up_by_the_cuts() -> None:
    """Centred at equal original lengths, 0.6 mm already off the first: it is cut 0.6 mm less."""
    plan = FlangePlan(drawn_out_mm=2.7, removed_mm=(0.6, 0.0), centred_outside_mm=(2.2, 2.2))
    cuts = cuts_mm(plan, 2.0)
    assert cuts[1] - cuts[0] == pytest.approx(0.6)


def test_nothing_cut_leaves_the_melt_less_the_bury() -> None:
    assert nothing_cut_mm(FlangePlan(drawn_out_mm=2.7)) == pytest.approx(0.7)
    assert cuts_mm(FlangePlan(drawn_out_mm=2.7), 0.7) == (0.0, 0.0)


@pytest.mark.parametrize("removed", [(0.0, 0.0), (0.5, 0.0), (0.2, 0.9)])
@pytest.mark.parametrize("centred", [None, (2.4, 2.0), (1.8, 2.6)])
def test_at_the_near_end_one_side_is_not_cut_and_none_is_negative(
    removed: tuple[float, float], centred: tuple[float, float] | None
) -> None:
    plan = FlangePlan(drawn_out_mm=4.0, removed_mm=removed, centred_outside_mm=centred)
    cuts = cuts_mm(plan, nothing_cut_mm(plan))
    assert min(cuts) == pytest.approx(0.0, abs=1e-9)
    below = cuts_mm(plan, nothing_cut_mm(plan) - 0.1)
    assert min(below) == pytest.approx(-0.1)


def test_at_the_far_end_the_longer_side_is_taut() -> None:
    plan = FlangePlan(drawn_out_mm=2.7, centred_outside_mm=(2.4, 2.0))
    assert taut_mm(plan) == pytest.approx(2.5)
    assert max(sides_mm(plan, taut_mm(plan))) == pytest.approx(2.7)


def test_rounding_dust_is_no_cut() -> None:
    plan = FlangePlan(drawn_out_mm=2.7, melt_mm=1.1, bury_mm=0.3)
    assert cuts_mm(plan, 0.8000000001) == (0.0, 0.0)
    assert cuts_mm(plan, 0.801) == pytest.approx((0.001, 0.001))


@pytest.mark.parametrize(
    "plan",
    [
        FlangePlan(drawn_out_mm=2.0, melt_mm=3.0),
        FlangePlan(drawn_out_mm=2.0, removed_mm=(1.6, 0.0)),
        FlangePlan(drawn_out_mm=1.5, centred_outside_mm=(3.0, 1.0)),
    ],
    ids=["melt longer than what is outside", "too much removed", "too far apart"],
)
def test_more_haptic_wanted_than_can_be_drawn_out_is_infeasible(plan: FlangePlan) -> None:
    with pytest.raises(Infeasible) as caught:
        reachable_mm(plan)
    assert caught.value.field == "haptic.melt_mm"
    assert "Melt less" in caught.value.message


def test_exactly_enough_is_feasible() -> None:
    plan = FlangePlan(drawn_out_mm=0.7)
    low, high = reachable_mm(plan)
    assert low == pytest.approx(high)
    refuse_too_short(plan, 0.7, 0.7)
