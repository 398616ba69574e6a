"""The virtual cohort in short: a few hundred eyes against the aims of the product.

Every comparison is paired on the same eyes and carries its sampling error; the full table is
``python3 build.py bench --cohort``. The eyes, their optics and what happens to them share no
code with the belief, but rest on the same published and assumed spreads: agreement is
consistency, not proof.
"""

from __future__ import annotations

import numpy as np
import pytest

from pycore.formulas import FORMULAS, Biometry, LensConstants
from pycore.optics import vergence
from tests.simulation.cohort.eyes import draw
from tests.simulation.cohort.figures import Share, figures, gain, share, within
from tests.simulation.cohort.formula import SURGEON_FACTOR_MM, expected
from tests.simulation.cohort.optics import Array, lens_power_d, refraction_d
from tests.simulation.cohort.play import Played, play
from tests.simulation.cohort.theatre import final_d, read
from tests.simulation.cohort.world import World

COUNT = 300
#: A difference is believed beyond this many standard errors.
SURE = 2.0
#: What an 80 % interval should hold, the world being only nearly what the product believes.
LEAST_HELD, MOST_HELD = 0.78, 0.82
#: Points within 0.50 D that three readings should bring where the haptics have the reach.
#: Haptics that go out to 2.5 mm only cap the gain: even a surgeon who knew everything about
#: the eye, and no reading can tell that, would bring some 16 points more within 0.50 D.
AIM_ABERROMETER, AIM_RETINOSCOPE = 0.12, 0.09


@pytest.fixture(scope="module")
def plain() -> dict[str, Played]:
    return play("plain", count=COUNT)


def surely_below(found: Share, limit: float) -> bool:
    return found.value + SURE * found.se < limit


def surely_above(found: Share, limit: float) -> bool:
    return found.value - SURE * found.se > limit


@pytest.mark.parametrize("policy", ["no_titration", "advice_two", "advice", "with_exchange"])
def test_an_80_percent_interval_holds_80_percent(plain: dict[str, Played], policy: str) -> None:
    """Before and after readings; intervals a tenth too narrow or too wide are caught."""
    assert plain[policy].covered is not None
    held = share(plain[policy].covered)
    assert not surely_below(held, LEAST_HELD)
    assert not surely_above(held, MOST_HELD)


@pytest.mark.parametrize("other", ["no_titration", "nothing_cut", "better_end", "straight_line"])
def test_advice_is_never_below_what_is_done_by_hand(plain: dict[str, Played], other: str) -> None:
    assert not surely_below(gain(plain["advice"], plain[other]), 0.0)


def test_titration_surely_brings_more_eyes_within_half_a_dioptre(plain: dict[str, Played]) -> None:
    assert surely_above(gain(plain["advice"], plain["no_titration"]), 0.0)


def test_nothing_beats_knowing_all(plain: dict[str, Played]) -> None:
    """No policy with the same lens may; it would know what it cannot."""
    for name in ("better_end", "straight_line", "advice_two", "advice"):
        assert not surely_above(gain(plain[name], plain["all_known"]), 0.0), name


def test_the_chance_promised_is_the_chance_kept(plain: dict[str, Played]) -> None:
    for policy in ("advice_two", "advice", "with_exchange"):
        part = figures(plain[policy], plain["no_titration"])
        assert part.promised_050 is not None
        assert abs(part.promised_050 - part.within_050.value) < 0.02 + SURE * part.within_050.se


def test_another_lens_is_offered_seldom_and_does_not_harm(plain: dict[str, Played]) -> None:
    exchanged = plain["with_exchange"].exchanged
    assert exchanged is not None
    assert 0.0 < exchanged.mean() < 0.15
    assert not surely_below(gain(plain["with_exchange"], plain["advice"]), 0.0)


@pytest.mark.parametrize(("scenario", "aim"), [
    ("longer_reach", AIM_ABERROMETER), ("longer_retinoscope", AIM_RETINOSCOPE),
])
def test_three_readings_gain_what_is_aimed_at(scenario: str, aim: float) -> None:
    """Where the haptics can be drawn out to 3.5 mm."""
    played = play(scenario, count=2 * COUNT // 3)
    gained = gain(played["advice"], played["no_titration"])
    assert surely_above(gained, 0.0)
    assert not surely_below(gained, aim)


def test_the_cohort_is_the_same_every_time_and_in_any_slice() -> None:
    whole = draw(World(), count=40, seed=3)
    again = draw(World(), count=40, seed=3).part(slice(10, 20))
    side = np.full(40, 1.5)
    assert np.array_equal(final_d(whole, World(), side)[10:20], final_d(again, World(), side[:10]))
    assert np.array_equal(read(whole, World(), side, placement=2, reading=2)[10:20],
                          read(again, World(), side[:10], placement=2, reading=2))


def test_own_optics_agree_with_the_core() -> None:
    """A system matrix against vergence: consistency of two derivations."""
    length, position, cornea, lens = (np.array(column) for column in zip(
        (21.0, 4.6, 44.5, 31.0), (23.7, 5.3, 43.0, 21.0), (29.0, 6.0, 42.0, -2.0), strict=True))
    core = [vergence.refraction_d(axial_length_mm=a, lens_position_mm=b, corneal_power_d=c, lens_power_d=d)
            for a, b, c, d in zip(length, position, cornea, lens, strict=True)]
    own = refraction_d(length, position, cornea, lens)
    assert own == pytest.approx(core, abs=1e-9)
    for index, refraction in enumerate(own):
        assert lens_power_d(length, position, cornea, float(refraction))[index] == pytest.approx(lens[index])


@pytest.mark.parametrize(("axial_length_mm", "k_d"), [(21.0, 46.0), (23.6, 43.8), (25.4, 42.0), (29.5, 49.0)])
def test_own_formula_agrees_with_the_core(axial_length_mm: float, k_d: float) -> None:
    own = expected(np.array([axial_length_mm]), np.array([k_d]))
    core = FORMULAS["holladay1"].predict(
        Biometry(axial_length_mm, k_d, k_d), LensConstants(surgeon_factor_mm=SURGEON_FACTOR_MM))
    found = (own.length_mm[0], own.position_mm[0], own.cornea_d[0])
    assert found == pytest.approx((core.axial_length_mm, core.lens_position_mm, core.corneal_power_d))


def test_a_paired_gain_counts_eyes_that_changed() -> None:
    """Two of four eyes gained, one lost: +1/4, SD of (1, 1, -1, 0) over root 4."""
    before = Played(_one_future(0.6, 0.7, 0.4, 0.1))
    after = Played(_one_future(0.4, -0.5, -0.9, 0.2))
    found = gain(after, before)
    assert found.value == pytest.approx(0.25)
    assert found.se == pytest.approx(np.sqrt(11 / 12) / 2)
    assert within(after, 0.5).tolist() == [1.0, 1.0, 0.0, 1.0]


def _one_future(*off_d: float) -> Array:
    return np.array(off_d)[:, None]
