"""How well an eye hides in an export: persons who share age band, sex, indication and year.

Whoever knows these four of a patient finds every line of the group. Before a file is written
the smallest group is shown, with what coarser bands would make of it. A group is counted in
persons, not eyes: two eyes of one person hide nobody.

Checked by ``tests/exchange/test_groups.py``.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Final

from pycore.exchange.anonymise import NINETY_OR_OLDER

#: A group of fewer persons than this is named as small (common practice, no source).
SMALL_GROUP: Final = 5
#: Widths that are offered, finest first; None leaves the quantity out of the file.
AGE_BANDS: Final[tuple[int | None, ...]] = (1, 5, 10, 20, None)
YEAR_BANDS: Final[tuple[int | None, ...]] = (1, 5, 10, None)


@dataclass(frozen=True, slots=True)
class Bands:
    """What of age, year, sex and indication is in the file; a width of None leaves it out."""

    age_years: int | None = 10
    year_years: int | None = None
    sex: bool = True
    indication: bool = True


@dataclass(frozen=True, slots=True)
class Person:
    """What others may know of the person an eye belongs to; ``known_by`` is the same for both eyes."""

    known_by: Hashable
    age_years: float | None
    age_band_years: int
    year: int | None
    year_band_years: int
    sex: str | None
    indication: str | None


@dataclass(frozen=True, slots=True)
class Hiding:
    """The smallest group in persons (None without eyes), and how many persons are in small ones."""

    smallest: int | None
    in_small: int


def banded(value: float | None, own_width: int, width: int | None, *, top: int | None = None) -> int | None:
    """The lower end of the band of ``width`` that holds ``value``, itself known to ``own_width``.

    ``None`` when the width is None, or when the value's own band does not fit into one band.

    >>> banded(67, 1, 10), banded(60, 5, 10), banded(55, 10, 20), banded(93, 1, 10, top=90)
    (60, 60, None, 90)
    """
    if value is None or width is None:
        return None
    if top is not None and value >= top:
        return top
    low = int(value) // width * width
    return low if int(value) + own_width <= low + width else None


def age_band(person: Person, bands: Bands) -> int | None:
    """The age as it stands in the file; 90 for 90 and over."""
    return banded(person.age_years, person.age_band_years, bands.age_years, top=NINETY_OR_OLDER)


def year_band(person: Person, bands: Bands) -> int | None:
    """The year of surgery as it stands in the file."""
    return banded(person.year, person.year_band_years, bands.year_years)


def hiding(persons: Iterable[Person], bands: Bands) -> Hiding:
    """How well the worst hidden person hides with these bands."""
    groups = Counter(_group(known) for known in {(one.known_by, _shared(one, bands)) for one in persons})
    small = sum(count for count in groups.values() if count < SMALL_GROUP)
    return Hiding(min(groups.values(), default=None), small)


def _shared(person: Person, bands: Bands) -> tuple[Hashable, ...]:
    return (
        age_band(person, bands),
        year_band(person, bands),
        person.sex if bands.sex else None,
        person.indication if bands.indication else None,
    )


def _group(known: tuple[Hashable, tuple[Hashable, ...]]) -> tuple[Hashable, ...]:
    return known[1]


def coarser(bands: Bands) -> list[tuple[str, Bands]]:
    """Every single step coarser than ``bands``, then all of them together; each with its words."""
    steps = [(words, change) for words, change in _STEPS if change(bands) != bands]
    offered = [(words, change(bands)) for words, change in steps]
    if len(offered) > 1:
        offered.append(("All of these", _all(bands, [change for _, change in steps])))
    return offered


def _all(bands: Bands, changes: Sequence[Callable[[Bands], Bands]]) -> Bands:
    for change in changes:
        bands = change(bands)
    return bands


def _next(width: int | None, widths: tuple[int | None, ...]) -> int | None:
    place = widths.index(width)
    return widths[min(place + 1, len(widths) - 1)]


_STEPS: Final[tuple[tuple[str, Callable[[Bands], Bands]], ...]] = (
    ("Wider bands of age", lambda bands: replace(bands, age_years=_next(bands.age_years, AGE_BANDS))),
    ("Wider bands of years", lambda bands: replace(bands, year_years=_next(bands.year_years, YEAR_BANDS))),
    ("Without the indication", lambda bands: replace(bands, indication=False)),
    ("Without the sex", lambda bands: replace(bands, sex=False)),
)
