"""Which lens stands first, and why: chances and reaches chosen by hand."""

from __future__ import annotations

import pytest

from pycore.api.lens_words import choice_value, missing_value
from pycore.planning.lens_ranking import Candidate, choose, nearest_missing, ranked

LABELS = {"21": "+21.0 D", "21.5": "+21.5 D", "22": "+22.0 D"}


def lens(key: str, chance: float, middle_d: float, pieces: int | None = None) -> Candidate:
    return Candidate(key, chance, middle_d, pieces)


def keys(*candidates: Candidate) -> list[str]:
    return [one.key for one in ranked(candidates)]


def test_the_greater_chance_stands_first() -> None:
    """61 against 57 points: four apart, no tie, however far from mid-reach."""
    near, far = lens("21", 0.57, 0.0), lens("21.5", 0.61, -0.5)
    found = choose([near, far])
    assert found is not None and (found.first, found.second, found.by) == (far, near, "chance")
    said = choice_value(found, LABELS)
    assert said is not None
    assert said["why"] == ("+21.5 D stands before +21.0 D because its chance within 0.50 D after titration "
                           "is 61 % against 57 %.")  # fmt: skip


def test_within_a_point_mid_reach_decides() -> None:
    """60.2 against 61.0 is a tie; the target lies 0.10 D from one middle, 0.35 D from the other."""
    found = choose([lens("21", 0.61, -0.35), lens("21.5", 0.602, 0.10)])
    assert found is not None and (found.first.key, found.by) == ("21.5", "middle")
    said = choice_value(found, LABELS)
    assert said is not None and "0.10 D from the middle" in said["why"] and "0.35 D" in said["why"]


@pytest.mark.parametrize(("chance", "first"), [(0.6001, "21.5"), (0.5999, "21")])
def test_the_tie_ends_at_one_point(chance: float, first: str) -> None:
    assert keys(lens("21", 0.61, -0.35), lens("21.5", chance, 0.10))[0] == first


def test_equally_near_the_middle_the_myopic_one() -> None:
    """0.12 D hyperopic against 0.15 D myopic: 0.03 D apart is no difference."""
    found = choose([lens("21", 0.605, 0.12), lens("21.5", 0.60, -0.15)])
    assert found is not None and (found.first.key, found.by) == ("21.5", "myopic")


def test_a_lens_clearly_further_from_the_middle_does_not_win_by_myopia() -> None:
    assert keys(lens("21", 0.60, 0.05), lens("21.5", 0.60, -0.20)) == ["21", "21.5"]


def test_the_reserve_is_a_second_piece_or_the_second_lens() -> None:
    one = choose([lens("21", 0.61, 0.0, 1), lens("22", 0.50, 0.0, 1)])
    two = choose([lens("21", 0.61, 0.0, 2), lens("22", 0.50, 0.0, 1)])
    alone = choose([lens("21", 0.61, 0.0, 1), lens("22", 0.70, 0.0, 0)])
    assert one is not None and one.reserve is not None and one.reserve.key == "22"
    assert two is not None and two.reserve is not None and two.reserve.key == "21"
    assert alone is not None and (alone.first.key, alone.reserve, alone.by) == ("21", None, "alone")
    said = choice_value(alone, LABELS)
    assert said is not None and "nothing is left" in said["if_it_breaks"]


def test_nothing_at_hand() -> None:
    assert choose([]) is None and choose([lens("21", 0.6, 0.0, 0)]) is None
    assert choice_value(None, LABELS) is None


def test_a_missing_lens_is_named_when_it_gains_more_than_a_tie() -> None:
    """57 in the box; 57.9 is a tie, 61 is four points more."""
    had = choose([lens("22", 0.57, 0.0, 1)])
    found = nearest_missing(had, [lens("21", 0.579, 0.0), lens("21.5", 0.61, 0.0)])
    assert [one.candidate.key for one in found] == ["21.5"]
    (said,) = missing_value(found, LABELS)
    assert said["message"] == ("No usable +21.5 D is in the box: 61 % within 0.50 D after titration, "
                               "4 points more.")  # fmt: skip
