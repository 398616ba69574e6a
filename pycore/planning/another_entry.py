"""Entering the sclera again at another distance, where the surgeon's own eyes settle what that does.

The literature contradicts itself on the sign, so this is looked at only for distances that
the own eyes know (95 % sure of the sign, ten eyes at each). The haptics go through new
tunnels: half of the deviations of position and movement carries over, as for another model
(our assumption); the lens and its label stay. The thresholds are those of another lens.
Tests: ``tests/unit/test_another_entry.py``.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final

from pycore.belief.second_lens import for_new_tunnels
from pycore.planning.lens_choice import LensOutlook, outlook_from
from pycore.planning.other_options import reasons_against
from pycore.planning.titrate import Case, Titration
from pycore.planning.titration import WITHIN_D

#: Distances closer than this are the same entry, mm.
SAME_ENTRY_MM: Final = 0.25

COSTS: Final = (
    "two more openings of the sclera beside the old ones",
    "both haptics drawn back into the eye",
    "bleeding and a soft eye",
)


@dataclass(frozen=True, slots=True)
class AnotherEntry:
    """The best other entry distance, and every condition that still speaks against it.

    ``unmet`` holds stable words; the entry is offered only when it is empty.
    """

    entry_mm: float
    outlook: LensOutlook
    chance_now: float
    unmet: tuple[str, ...]

    @property
    def offered(self) -> bool:
        return not self.unmet


def another_entry(
    case: Case, titration: Titration, entries_mm: Iterable[float], *, iop_mmhg: float | None = None
) -> AnotherEntry | None:
    """The best of ``entries_mm`` by chance after titration; ``None`` when there is no other.

    ``entries_mm`` are the distances that the surgeon's own eyes settle, empty when they do not.
    """
    others = [entry for entry in entries_mm if abs(entry - case.eye.entry_mm) > SAME_ENTRY_MM]
    if not others or not case.readings:
        return None
    outlooks = [(_outlook(case, titration, entry), entry) for entry in others]
    best, entry = max(outlooks, key=lambda found: found[0].titrated_within_050)
    chance = titration.advice.option.final.chance_within(WITHIN_D, target_d=case.target_d)
    unmet = reasons_against(case, titration, best.titrated_within_050 - chance, iop_mmhg=iop_mmhg)
    return AnotherEntry(entry, best, chance, unmet)


def _outlook(case: Case, titration: Titration, entry_mm: float) -> LensOutlook:
    return outlook_from(
        replace(case.eye, entry_mm=entry_mm),
        for_new_tunnels(titration.after.belief, case.priors),
        replace(case.plan, removed_mm=(0.0, 0.0), centred_outside_mm=None),
        target_d=case.target_d,
        instrument=case.instrument,
        calibration=case.calibration,
    )
