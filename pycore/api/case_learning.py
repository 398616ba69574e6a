"""From a stored eye to a lesson about its surgeon, or the reason why there is none.

An eye teaches through its first usable follow-up: complete refraction from day 28, settled
pressure, cornea and macula, no gas, optic not captured, acuity 6/24 or better. Weaker
follow-ups count for less, by noise added in quadrature (our judgement). Every eye is computed
anew with one base formula, whichever it was planned with. Tests:
``tests/unit/test_surgeon_learn.py``.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from pycore.api.case_follow_up import days_after_surgery, equivalent_d, why_not_counted
from pycore.api.case_numbers import haptics_now, plain_case, reading_request, sound_case
from pycore.api.reading_items import READING, REFUSED_FILL, original_lengths_mm, reading_equivalent_d
from pycore.api.schema import Notes
from pycore.belief.eye import REFERENCE_OUTSIDE_MM
from pycore.belief.surgeon_eye import LearningEye, Lesson, lesson
from pycore.errors import GuylineError
from pycore.fixation.haptic_log import HapticNow
from pycore.planning.titrate import Case as PlainCase
from pycore.records.case import Case, current_log, standing
from pycore.records.moments import after
from pycore.words import joined, say

#: 6/12, from which a refraction is less sure, logMAR; and what that adds, D.
WEAK_CDVA_LOGMAR: Final = 0.3
WEAK_CDVA_SD_D: Final = 0.35
#: What another way of refracting adds to a subjective refraction's own error, D.
METHOD_SD_D: Final = {"subjective": 0.0, "autorefractor": 0.20, "retinoscopy": 0.35}
#: SD of a final length that was not recorded, mm (our assumption).
UNKNOWN_LENGTH_SD_MM: Final = 0.5
#: Through these a stored reading says nothing usable about the lens.
_UNREADABLE_FILL: Final = (*REFUSED_FILL, "oil")
_STILL: Final = ("measure", "pass")

Pair = tuple[HapticNow, HapticNow]
_USUAL_BURY_MM: Final = 0.3


@dataclass(frozen=True, slots=True)
class LeftOut:
    """An eye that teaches nothing: a stable word and what would have to change."""

    code: str
    reason: str
    message: str


@dataclass(frozen=True, slots=True)
class Taken:
    """An eye's lesson, and what had to be assumed about it."""

    lesson: Lesson
    assumed: tuple[str, ...]


def learn_from(document: object, *, formula: str, as_of: str | None) -> Taken | LeftOut:
    """The lesson of one stored eye for ``formula``, from what was known on ``as_of``."""
    code = code_of(document)
    try:
        return _learned(sound_case(document), code, formula=formula, as_of=as_of)
    except GuylineError as error:
        return LeftOut(code, "incomplete", error.message)


def code_of(document: object) -> str:
    """The record's code, or what stands in for one that cannot be read."""
    code = document.get("code") if isinstance(document, dict) else None
    return code[:60] if isinstance(code, str) and code else "unnamed"


def _learned(case: Case, code: str, *, formula: str, as_of: str | None) -> Taken | LeftOut:
    if case["demo"]:
        return LeftOut(code, "demo", "An invented eye teaches nothing.")
    if case["not_learned"] is not None:
        reason = case["not_learned"]["reason"] or "no reason given"
        return LeftOut(code, "excluded_by_hand", say("Excluded by hand: {reason}.", reason=reason))
    visits = [
        visit for visit in standing(case, "follow_ups")
        if as_of is None or _known_on(case, visit, as_of)
    ]
    if not visits:
        return LeftOut(code, "no_follow_up", "There is no follow-up yet.")
    usable = [visit for visit in visits if not why_not_counted(case, visit)]
    if not usable:
        latest = max(visits, key=lambda visit: visit["on"] or "")
        return LeftOut(code, "not_usable", joined(" ", why_not_counted(case, latest)))
    return _taken(case, min(usable, key=lambda visit: days_after_surgery(case, visit) or 0), code, formula)


def _known_on(case: Case, visit: Case, as_of: str) -> bool:
    """Whether the visit was known then; one of an imported eye without dates counts as always known."""
    if visit["on"] is None:
        return visit["days_after"] is not None
    day: str = visit["on"]
    return day <= as_of


def _operated(case: Case) -> str:
    """When, for the order of eyes: the date, the year of an imported eye, or before all others."""
    year = (case["imported"] or {}).get("surgery_year")
    day: str | None = case["surgery_on"]
    return day or (str(year) if year else "")


def _taken(case: Case, visit: Case, code: str, formula: str) -> Taken:
    now = haptics_now(case)
    used, plain = _plain(case, formula, now)
    follow_up = equivalent_d(visit)
    assert follow_up is not None
    final, assumed = _final_length(case, now)
    eye = LearningEye(
        code=code,
        on=_operated(case),
        eye=plain.eye,
        priors=plain.priors,
        readings=plain.readings,
        final_outside_mm=final.outside_mm,
        final_length_sd_mm=final.sd_mm,
        follow_up_d=follow_up,
        follow_up_noise_sd_d=follow_up_noise_sd_d(visit),
        unmoved=_unmoved(case, used, now),
    )
    taken = lesson(eye)
    return Taken(replace(taken, code=code), assumed)


def _plain(case: Case, formula: str, now: Pair) -> tuple[list[Case], PlainCase]:
    """The readings that say something, and the eye with them in plain numbers.

    Only when they cannot all be read is each looked at by itself.
    """
    whole = [entry for entry in standing(case, "readings") if entry["fill"] not in _UNREADABLE_FILL]
    try:
        return whole, _with_readings(case, formula, now, whole)
    except GuylineError:
        used = [entry for entry in whole if _readable(entry)]
        if len(used) == len(whole):
            raise
        return used, _with_readings(case, formula, now, used)


def _with_readings(case: Case, formula: str, now: Pair, used: list[Case]) -> PlainCase:
    plan = {**case["plan"], "formula": formula, "target_d": case["plan"]["target_d"] or 0.0}
    plain, _ = plain_case(
        {**case, "plan": plan, "readings": used}, Notes(),
        readings=[reading_request(entry) for entry in used], haptics=now,
    )
    return plain


def follow_up_noise_sd_d(visit: Case) -> float:
    """What the visit's refraction adds to an ordinary one's error; acuity and method together.

    An acuity or method that was not entered counts as ordinary.
    """
    cdva = visit["cdva_logmar"]
    weak = WEAK_CDVA_SD_D if cdva is not None and cdva > WEAK_CDVA_LOGMAR else 0.0
    return math.hypot(weak, METHOD_SD_D[visit["refraction_method"] or "subjective"])


def _readable(entry: Case) -> bool:
    """Whether a stored reading says something; others are left out, the eye stays."""
    try:
        read = READING(reading_request(entry), "reading", Notes())
        original_lengths_mm(read, "reading")
        reading_equivalent_d(read, "reading")
    except GuylineError:
        return False
    return True


@dataclass(frozen=True, slots=True)
class _Length:
    outside_mm: float
    sd_mm: float = 0.0


def _final_length(case: Case, now: Sequence[HapticNow]) -> tuple[_Length, tuple[str, ...]]:
    """What was left outside: from the log, else the decision, else the reference length."""
    if all(haptic.flanged for haptic in now):
        bury_mm = case["plan"]["bury_mm"]
        depth = _USUAL_BURY_MM if bury_mm is None else bury_mm
        return _Length(sum(_left_mm(haptic, depth) for haptic in now) / 2), ()
    decided = [row["outside_mm"] for row in case["decisions"] if row["outside_mm"] is not None]
    if decided:
        return _Length(decided[-1]), ("The final length outside is taken from the last decision.",)
    return (
        _Length(REFERENCE_OUTSIDE_MM, UNKNOWN_LENGTH_SD_MM),
        (say(
            "The final length outside was not recorded; {reference_outside_mm} mm is assumed.",
            reference_outside_mm=f"{REFERENCE_OUTSIDE_MM:.1f}",
        ),),
    )


def _left_mm(haptic: HapticNow, bury_mm: float) -> float:
    """Length to the original tip at the end: where it was buried, or as it was to be."""
    if haptic.buried and haptic.original_mm is not None:
        return haptic.original_mm
    return haptic.removed_mm - bury_mm


def _unmoved(case: Case, used: list[Case], now: Sequence[HapticNow]) -> bool:
    """Whether the latest reading saw both haptics as they stayed: flanged, nothing done since."""
    if not used or not all(haptic.flanged for haptic in now):
        return False
    latest = used[-1]["at"]
    log = [entry for entry in current_log(case) if entry["haptic_step"] not in _STILL]
    return latest is not None and all(after(latest, entry["at"]) for entry in log)
