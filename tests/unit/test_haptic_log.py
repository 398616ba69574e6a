"""Replay of what was done to a haptic."""

from __future__ import annotations

import pytest

from pycore.errors import Inconsistent
from pycore.fixation.haptic_log import HapticNow, Step, haptic_state, replay


def steps(*entries: tuple[str, float | None]) -> list[Step]:
    return [Step(kind, length, True) for kind, length in entries]


def test_nothing_done_knows_nothing() -> None:
    assert replay([]) == HapticNow()


def test_cut_melt_bury_gives_the_final_length() -> None:
    """e = c + m - b: 1.3 cut, 1.0 melted, 0.3 buried leaves 2.0 mm to the original tip."""
    now = replay(
        steps(("externalise", 3.0), ("pull", 2.5), ("cut", 1.3), ("melt", 1.0), ("bury", 0.3))
    )
    assert now.removed_mm == pytest.approx(2.3)
    assert now.outside_now_mm == pytest.approx(-0.3)
    assert now.original_mm == pytest.approx(2.0)
    assert now.flanged and now.buried


def test_pulling_changes_the_length_and_removes_nothing() -> None:
    now = replay(steps(("externalise", 2.5), ("cut", 0.5), ("pull", 1.0)))
    assert (now.outside_now_mm, now.removed_mm) == (1.0, 0.5)


def test_a_bulb_takes_haptic_away() -> None:
    now = replay(steps(("externalise", 2.5), ("bulb", 0.4)))
    assert now.removed_mm == 0.4
    assert now.original_mm == pytest.approx(2.5)
    assert not now.flanged


def test_unknown_length_stays_unknown() -> None:
    now = replay(steps(("externalise", 2.5), ("pull", None)))
    assert now.outside_now_mm is None
    assert now.original_mm is None


def test_more_cannot_be_cut_than_is_outside() -> None:
    with pytest.raises(Inconsistent, match="outside"):
        replay(steps(("externalise", 2.0), ("cut", 2.5)))


def test_assumed_lengths_are_not_called_measured() -> None:
    assert not replay([Step("pull", 2.5, False)]).measured
    assert replay([Step("measure", 2.5, True)]).measured


@pytest.mark.parametrize(
    ("first", "second", "state"),
    [
        ((), (), "both_free"),
        ((("melt", 1.0),), (), "one_flanged"),
        ((("melt", 1.0),), (("melt", 1.0),), "both_flanged"),
        ((("melt", 1.0), ("bury", 0.3)), (("melt", 1.0),), "both_flanged"),
        ((("melt", 1.0), ("bury", 0.3)), (("melt", 1.0), ("bury", 0.3)), "buried"),
    ],
)
def test_state_of_both(
    first: tuple[tuple[str, float], ...], second: tuple[tuple[str, float], ...], state: str
) -> None:
    assert haptic_state(replay(steps(*first)), replay(steps(*second))) == state


def test_a_melt_may_draw_on_what_will_be_buried() -> None:
    """The advised cut leaves melt less bury outside: 0.7 mm for a melt of 1.0 mm."""
    now = replay(steps(("measure", 2.0), ("cut", 1.3), ("melt", 1.0)))
    assert now.removed_mm == pytest.approx(2.3)
    with pytest.raises(Inconsistent):
        replay(steps(("measure", 2.0), ("cut", 1.5), ("melt", 1.2)))
