"""Groups in which a person hides, counted by hand."""

from __future__ import annotations

import pytest

from pycore.exchange.groups import Bands, Hiding, Person, banded, coarser, hiding


def person(known_by: object, age: float | None, sex: str = "female", year: int | None = None) -> Person:
    return Person(str(known_by), age, 1, year, 1, sex, "trauma")


@pytest.mark.parametrize(
    ("value", "own", "width", "band"),
    [(67, 1, 10, 60), (69.9, 1, 10, 60), (70, 1, 10, 70), (67, 1, 1, 67), (67, 1, None, None),
     (60, 5, 10, 60), (65, 5, 10, 60), (60, 10, 5, None), (None, 1, 10, None), (95, 1, 10, 90), (90, 10, 20, 90)],
)
def test_bands(value: float | None, own: int, width: int | None, band: int | None) -> None:
    assert banded(value, own, width, top=90) == band


def test_the_smallest_group_counts_persons_not_eyes() -> None:
    # Three women in their sixties, one with both eyes; one woman of 72.
    known = [person(1, 61), person(1, 61), person(2, 66), person(3, 69), person(4, 72)]
    assert hiding(known, Bands()) == Hiding(1, 4)
    assert hiding(known[:4], Bands()) == Hiding(3, 3)


def test_coarser_bands_hide_better() -> None:
    known = [person(number, 60 + number) for number in range(6)]
    assert hiding(known, Bands(age_years=1)) == Hiding(1, 6)
    assert hiding(known, Bands(age_years=5)) == Hiding(1, 1)
    assert hiding(known, Bands(age_years=10)) == Hiding(6, 0)
    assert hiding([], Bands()) == Hiding(None, 0)


def test_what_is_left_out_of_the_file_does_not_tell_persons_apart() -> None:
    known = [person(1, 61, "female", 2020), person(2, 61, "male", 2021)]
    assert hiding(known, Bands(year_years=1)).smallest == 1
    assert hiding(known, Bands(sex=False, year_years=None)).smallest == 2


def test_each_coarser_choice_is_one_step_and_the_last_is_all_of_them() -> None:
    offered = dict(coarser(Bands(age_years=5, year_years=1)))
    assert offered["Wider bands of age"] == Bands(age_years=10, year_years=1)
    assert offered["Wider bands of years"] == Bands(age_years=5, year_years=5)
    assert offered["All of these"] == Bands(10, 5, sex=False, indication=False)
    assert coarser(Bands(None, None, sex=False, indication=False)) == []
