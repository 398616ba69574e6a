"""The rules by which a cut is advised, each on an eye where it decides."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from pycore.belief.eye import EyeModel
from pycore.belief.gaussian import Gaussian
from pycore.belief.linear import diagonal
from pycore.belief.outcome import FinalView, Outcome
from pycore.belief.priors import UNKNOWNS, Prior, default_priors
from pycore.belief.readings import Reading
from pycore.errors import Inconsistent, Infeasible
from pycore.fixation.haptic import FlangePlan
from pycore.planning.titrate import Case, Titration, titrate, without_doubtful
from pycore.planning.titration import (
    LEAST_GAIN_CHANCE,
    LEAST_GAIN_D,
    Advice,
    advise_both_flanged,
    advise_both_free,
    advise_buried,
    advise_one_flanged,
    is_useful,
)

EYE = EyeModel(23.7, 5.3, 44.0, 20.5)
PLAN = FlangePlan(drawn_out_mm=2.7)


def certain(shift_d: float = 0.0, *, travel: float = 0.2, spread: float = 0.05) -> FinalView:
    """A view that knows almost everything; ``shift_d`` moves every prediction."""
    means = {"travel_ratio": travel, "settle_d": shift_d}
    sds = {"settle_d": spread}
    belief = Gaussian(
        tuple(means.get(name, 0.0) for name in UNKNOWNS),
        diagonal([sds.get(name, 0.0) ** 2 for name in UNKNOWNS]),
    )
    return FinalView(EYE, belief)


def landing(outside_mm: float, target_d: float, **changes: float) -> FinalView:
    """A view whose prediction meets ``target_d`` exactly at ``outside_mm``."""
    bare = certain(**changes)
    return certain(target_d - bare.at(outside_mm).mean_d, **changes)


def reading(outside_mm: float, refraction_d: float, placement: int = 0) -> Reading:
    return Reading(outside_mm, refraction_d, "aberrometer", 0.25, placement)


def case(**changes: object) -> Case:
    plain = Case(
        eye=EYE,
        priors=default_priors(axial_method="optical", lens_power_d=20.5),
        readings=(),
        plan=PLAN,
        target_d=-0.5,
    )
    return replace(plain, **changes)  # type: ignore[arg-type]


@pytest.mark.parametrize("outside_mm", [1.3, 1.6, 2.0, 2.2])
def test_the_length_that_meets_the_target_is_advised(outside_mm: float) -> None:
    advice = advise_both_free(landing(outside_mm, -0.5, travel=0.4), PLAN, target_d=-0.5)
    assert advice.reason == "cut"
    assert advice.option.outside_mm == pytest.approx(outside_mm, abs=2e-3)
    assert advice.option.cut_mm == pytest.approx((outside_mm - 0.7,) * 2, abs=2e-3)


@pytest.mark.parametrize("shift_d", [-3.0, -1.0, -0.3, 0.0])
def test_an_eye_already_too_myopic_is_never_cut(shift_d: float) -> None:
    """Cutting is a ratchet toward myopia: hyperopia cannot be had by cutting."""
    view = landing(0.7, -0.5 + shift_d)
    advice = advise_both_free(view, PLAN, target_d=-0.5)
    assert advice.option.cut_mm == (0.0, 0.0)
    assert advice.no_useful_adjustment
    assert advice.option == advice.nothing


def test_more_cut_is_further_forward_and_more_myopic() -> None:
    advice = advise_both_free(landing(1.7, -0.5), PLAN, target_d=-0.5)
    cuts = [option.cut_mm[0] for option in advice.neighbours]
    means = [option.final.mean_d for option in advice.neighbours]
    assert cuts == sorted(cuts)
    assert means == sorted(means, reverse=True)
    assert advice.reach_d < 0.0


def test_neighbours_are_half_a_millimetre_apart_and_reachable() -> None:
    advice = advise_both_free(landing(1.7, -0.5, travel=0.4), PLAN, target_d=-0.5)
    lengths = [option.outside_mm for option in advice.neighbours]
    steps = [after - before for before, after in pairwise(lengths)]
    assert steps == pytest.approx([0.5] * len(steps))
    assert advice.option in advice.neighbours
    assert all(0.7 - 1e-9 <= length <= 2.7 + 1e-9 for length in lengths)


def test_the_reach_is_nothing_cut_then_drawn_out() -> None:
    advice = advise_both_free(landing(1.7, -0.5), PLAN, target_d=-0.5)
    assert [option.outside_mm for option in advice.reach] == [0.7, 2.7]
    assert advice.reach[0].cut_mm == (0.0, 0.0)
    assert advice.reach[1].cut_mm == pytest.approx((2.0, 2.0))


@pytest.mark.parametrize(
    ("beyond_d", "taut"),
    [(0.01, False), (0.10, False), (0.17, True), (0.5, True)],
)
def test_the_last_half_millimetre_must_gain_0_15_d(beyond_d: float, taut: bool) -> None:
    """``beyond_d``: how much hyperopia is left half a millimetre before taut."""
    view = landing(2.2, -0.5 + beyond_d, travel=0.4)
    advice = advise_both_free(view, PLAN, target_d=-0.5)
    assert (advice.option.outside_mm > 2.2 + 1e-6) is taut
    if not taut:
        assert advice.option.outside_mm == pytest.approx(2.2)


def test_far_out_of_reach_nothing_is_cut_and_the_reach_shows_why() -> None:
    """Half a dioptre nearer, but no chance within 0.50 D either way: other options are due."""
    advice = advise_both_free(landing(2.2, 1.0, travel=0.4), PLAN, target_d=-0.5)
    assert advice.no_useful_adjustment
    assert advice.reach[1].final.mean_d > 0.5


def test_the_reserve_never_goes_below_nothing_cut() -> None:
    """With less than half a millimetre to choose from, nothing cut is the careful end."""
    plan = FlangePlan(drawn_out_mm=1.0)
    advice = advise_both_free(landing(1.0, -0.5), plan, target_d=-0.5)
    assert advice.option.outside_mm == pytest.approx(0.7)


def outcome(mean_d: float, sd_d: float) -> Outcome:
    return Outcome(mean_d, sd_d)


@pytest.mark.parametrize(
    ("better", "nothing", "useful"),
    [
        ((0.0, 0.3), (0.4, 0.3), True),
        ((0.0, 0.3), (0.05, 0.3), False),
        ((2.0, 0.1), (3.0, 0.1), False),  # error 1 D less, chance nil either way
        ((0.0, 0.04), (0.08, 0.04), False),  # both certain to be within 0.50 D
    ],
    ids=["both gain", "neither gains", "only the error gains", "too little error gained"],
)
def test_both_thresholds_must_be_passed(
    better: tuple[float, float], nothing: tuple[float, float], useful: bool
) -> None:
    assert is_useful(outcome(*better), outcome(*nothing), target_d=0.0) is useful


def test_thresholds_are_exactly_a_tenth_of_a_dioptre_and_five_points() -> None:
    assert (LEAST_GAIN_D, LEAST_GAIN_CHANCE) == (0.10, 0.05)
    near = outcome(0.0, 1e-6)
    assert is_useful(near, outcome(0.5001, 1e-6), target_d=0.0)
    assert not is_useful(near, outcome(0.4999, 1e-6), target_d=0.0)  # chance 1 both times


def test_centred_lengths_are_kept() -> None:
    plan = FlangePlan(drawn_out_mm=3.2, centred_outside_mm=(2.4, 2.0), removed_mm=(0.0, 0.1))
    advice = advise_both_free(landing(1.8, -0.5, travel=0.4), plan, target_d=-0.5)
    first, second = advice.option.cut_mm
    assert advice.option.outside_mm == pytest.approx(1.8, abs=2e-3)
    assert (first, second) == pytest.approx((2.0 - 0.7, 1.6 - 0.7 - 0.1), abs=2e-3)


def test_one_flange_made_leaves_only_centring() -> None:
    """First haptic flanged with 2.0 mm gone; the second gets the centred length."""
    plan = FlangePlan(drawn_out_mm=3.0, removed_mm=(2.0, 0.0), centred_outside_mm=(2.2, 1.8))
    advice = advise_one_flanged(certain(), plan, flanged=0)
    assert advice.reason == "one_flanged"
    assert advice.no_useful_adjustment
    assert advice.option.cut_mm == pytest.approx((0.0, 1.7 - 0.4 - 0.7))
    assert advice.option.outside_mm == pytest.approx((1.7 + 1.3) / 2)


def test_one_flange_made_on_the_other_side() -> None:
    plan = FlangePlan(drawn_out_mm=3.0, removed_mm=(0.0, 2.0), centred_outside_mm=(2.2, 1.8))
    advice = advise_one_flanged(certain(), plan, flanged=1)
    assert advice.option.cut_mm == pytest.approx((1.7 + 0.4 - 0.7, 0.0))


def test_one_flanged_ignores_the_target() -> None:
    plan = FlangePlan(drawn_out_mm=3.0, removed_mm=(2.0, 0.0))
    far, near = (
        titrate(case(plan=plan, haptic_state="one_flanged", target_d=target)).advice.option.cut_mm
        for target in (-3.0, 0.5)
    )
    assert far == near


def test_one_flanged_with_too_little_taken_cuts_nothing() -> None:
    """The free side would need haptic back; it is melted and nothing more is cut."""
    plan = FlangePlan(drawn_out_mm=3.0, removed_mm=(0.5, 0.0))
    advice = advise_one_flanged(certain(), plan, flanged=0)
    assert advice.option.cut_mm == (0.0, 0.0)
    assert advice.option.outside_mm == pytest.approx((0.2 + 0.7) / 2)


def test_one_flanged_and_the_free_side_ends_taut() -> None:
    """Flanged with 2.0 mm left, the other side can be drawn out to 1.88 mm only: still an answer."""
    plan = FlangePlan(drawn_out_mm=1.88, removed_mm=(2.3, 0.0))
    advice = advise_one_flanged(certain(), plan, flanged=0)
    assert advice.option.outside_mm == pytest.approx((2.0 + 1.88) / 2)
    assert advice.option.cut_mm == pytest.approx((0.0, 1.88 - 0.7))


def test_one_flanged_and_the_free_side_too_short() -> None:
    plan = FlangePlan(drawn_out_mm=2.0, melt_mm=2.5, removed_mm=(1.5, 0.0))
    with pytest.raises(Infeasible, match="Melt less"):
        advise_one_flanged(certain(), plan, flanged=0)


FLANGED = FlangePlan(drawn_out_mm=3.5, removed_mm=(1.5, 1.5))


def both_flanged(shift_d: float, plan: FlangePlan = FLANGED, target_d: float = -0.5) -> Advice:
    view = certain(shift_d, travel=0.4)
    return advise_both_flanged(view, view, plan, target_d=target_d)


def test_both_flanged_too_myopic_is_left() -> None:
    advice = both_flanged(-5.0)
    assert advice.reason == "leave"
    assert advice.option.cut_mm == (0.0, 0.0)
    assert advice.option.outside_mm == pytest.approx(1.2)


def test_both_flanged_hyperopic_is_recut_by_at_least_a_millimetre() -> None:
    """Only more can be taken off: at least 1.0 mm a side, further forward, more myopic."""
    now = certain(travel=0.4).at(1.2).mean_d
    advice = both_flanged(-0.5 - now + 0.65)
    assert advice.reason == "recut"
    assert advice.option.outside_mm >= advice.nothing.outside_mm + 1.0
    assert advice.option.final.mean_d < advice.nothing.final.mean_d
    taken = advice.option.cut_mm[0] + 1.0  # the new melt comes on top of the new cut
    assert advice.option.outside_mm == pytest.approx(1.2 + taken)


def test_both_flanged_a_little_hyperopic_is_left() -> None:
    """A millimetre a side would overshoot by more than is missing."""
    now = certain(travel=0.4).at(1.2).mean_d
    assert both_flanged(-0.5 - now + 0.15).reason == "leave"


def test_both_flanged_with_nothing_left_to_recut_is_left() -> None:
    advice = both_flanged(3.0, plan=FlangePlan(drawn_out_mm=2.0, removed_mm=(1.5, 1.5)))
    assert advice.reason == "leave"


def test_recutting_keeps_the_taut_reserve_too() -> None:
    """Landing within the last half millimetre gains less than 0.15 D over staying short."""
    view = landing(3.2, -0.5, travel=0.4)
    advice = advise_both_flanged(view, view, FLANGED, target_d=-0.5)
    assert advice.option.outside_mm == pytest.approx(3.0)


def test_buried_is_final() -> None:
    advice = advise_buried(certain(3.0), FLANGED)
    assert advice.reason == "buried"
    assert advice.no_useful_adjustment
    assert advice.option.cut_mm == (0.0, 0.0)


@pytest.mark.parametrize("state", ["both_flanged", "buried"])
def test_the_slip_of_the_latest_reading_is_kept_only_where_it_was_read(state: str) -> None:
    """Read free at 2.5 mm and flanged since: the optic has moved, so it slips afresh."""
    here = titrate(case(plan=FLANGED, haptic_state=state, readings=(reading(1.2, -0.4),)))
    away = titrate(case(plan=FLANGED, haptic_state=state, readings=(reading(2.5, -0.7),)))
    assert here.advice.nothing.final.sd_d < away.advice.nothing.final.sd_d
    moved = FinalView.of(EYE, away.after.belief).at(1.2)
    assert away.advice.nothing.final.sd_d == pytest.approx(moved.sd_d)


@pytest.mark.parametrize(
    ("state", "removed", "field"),
    [
        ("one_flanged", (0.0, 1.0), "haptic.removed_mm[0]"),
        ("both_flanged", (1.0, 0.0), "haptic.removed_mm[1]"),
        ("buried", (0.0, 0.0), "haptic.removed_mm[0]"),
    ],
)
def test_a_flange_that_took_no_haptic_is_refused(
    state: str, removed: tuple[float, float], field: str
) -> None:
    plan = FlangePlan(drawn_out_mm=2.7, removed_mm=removed)
    with pytest.raises(Inconsistent) as caught:
        titrate(case(plan=plan, haptic_state=state))
    assert caught.value.field == field


@pytest.mark.parametrize("state", ["one_flanged", "both_flanged", "buried"])
def test_once_flanged_no_further_reading_is_asked_for(state: str) -> None:
    found = titrate(case(plan=FLANGED, haptic_state=state, readings=(reading(1.2, -0.4),)))
    assert found.next.action == "none"


def titrated(*readings: Reading) -> tuple[Case, Titration]:
    plain = case(readings=readings)
    return plain, titrate(plain)


def test_the_doubtful_reading_is_named_and_left_out_on_trial() -> None:
    plain, found = titrated(reading(2.5, -0.6, 0), reading(1.2, 2.6, 1), reading(1.8, -0.4, 2))
    trial = without_doubtful(plain, found)
    assert trial is not None
    assert trial[0] == 1
    kept = titrate(replace(plain, readings=(plain.readings[0], plain.readings[2])))
    assert trial[1].advice == kept.advice


def test_fitting_readings_have_no_doubtful_one() -> None:
    assert without_doubtful(*titrated(reading(2.5, -0.6, 0), reading(1.2, -0.3, 1))) is None
    assert without_doubtful(*titrated()) is None


def test_what_is_believed_of_the_movement_never_advises_the_wrong_way() -> None:
    """Readings that say drawing out is hyperopic cannot turn the lever round."""
    plain, found = titrated(reading(2.6, 0.6, 0), reading(1.0, -0.4, 1))
    assert found.view.belief.mean[UNKNOWNS.index("travel_ratio")] > 0.0
    assert found.advice.reach_d < 0.0
    assert plain.readings[0].refraction_d > plain.readings[1].refraction_d


def test_certainty_about_everything_needs_no_spread() -> None:
    """All SDs zero: only slip, drift, execution and noise are left, and an answer comes."""
    priors = {name: Prior(0.2 if name == "travel_ratio" else 0.0, 0.0) for name in default_priors(
        axial_method="optical", lens_power_d=20.5)}
    found = titrate(case(priors=priors, readings=(reading(2.0, -0.5),)))
    assert 0.0 < found.advice.option.final.sd_d < 0.2
