"""Follow-up visits: refraction, acuity and complications that contradict each other."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from pycore.errors import GuylineError
from pycore.optics.acuity import Unclear, parse
from pycore.records.case import Case, rows
from pycore.records.finding import Check, Finding, Today, impossible, missing, unusual
from pycore.records.in_theatre import cylinder_has_axis
from pycore.records.moments import as_date, days_between
from pycore.words import say

#: Corrected acuity may be entered this much worse by rounding, logMAR: two lines.
_WORSE_LOGMAR: Final = 0.2
_KINDS: Final = ("udva", "cdva")
#: A stored acuity is the typed one to rounding, logMAR.
_SAME_LOGMAR: Final = 1e-6


def visit_refraction(case: Case, today: Today) -> Iterator[Finding]:
    """Sphere and cylinder together, a cylinder with its axis."""
    for path, visit in rows(case, "follow_ups"):
        if visit["withdrawn"] is None:
            yield from cylinder_has_axis(path, visit)


def visit_acuity(case: Case, today: Today) -> Iterator[Finding]:
    """Correction does not make the acuity worse."""
    for path, visit in rows(case, "follow_ups"):
        without, corrected = visit["udva_logmar"], visit["cdva_logmar"]
        if without is not None and corrected is not None and corrected > without + _WORSE_LOGMAR:
            yield unusual(
                f"{path}.cdva_logmar", "worse_with_correction",
                say(
                    "The corrected acuity ({corrected} logMAR) is worse than the uncorrected one "
                    "({without}). Check that the two were not swapped; a larger logMAR is worse.",
                    corrected=f"{corrected:.2f}", without=f"{without:.2f}",
                ),
            )


def visit_low_vision(case: Case, today: Today) -> Iterator[Finding]:
    """An acuity is a number or a word, and the number is what was typed."""
    for path, visit in rows(case, "follow_ups"):
        for kind in _KINDS:
            logmar, low, written = (visit[f"{kind}_{part}"] for part in ("logmar", "low", "written"))
            if logmar is not None and low is not None:
                yield impossible(f"{path}.{kind}_low", "two_acuities",
                                 "An acuity is a number or in words, not both. Enter it again.")
            elif written is not None:
                yield from _as_written(f"{path}.{kind}_written", visit, kind)


def _as_written(path: str, visit: Case, kind: str) -> Iterator[Finding]:
    try:
        found = parse(visit[f"{kind}_written"], visit[f"{kind}_notation"])
    except GuylineError as error:
        yield unusual(path, "acuity_unreadable", error.message)
        return
    if isinstance(found, Unclear):
        yield missing(path, "notation_missing", "Say whether the acuity is decimal or logMAR.")
    elif found.low != visit[f"{kind}_low"] or not _alike(found.logmar, visit[f"{kind}_logmar"]):
        yield unusual(path, "acuity_disagrees", "The acuity as typed is not the one stored. Enter it again.")


def _alike(first: float | None, second: float | None) -> bool:
    if first is None or second is None:
        return first is second
    return abs(first - second) < _SAME_LOGMAR


def visit_pose(case: Case, today: Today) -> Iterator[Finding]:
    """Depth, tilt and decentration mean nothing without where they are measured from."""
    for path, visit in rows(case, "follow_ups"):
        if visit["withdrawn"] is not None:
            continue
        for needed, values, message in _DEFINED_BY:
            if visit[needed] is None and any(visit[key] is not None for key in values):
                yield missing(f"{path}.{needed}", "missing_definition", message)


_DEFINED_BY: Final = (
    ("optic_depth_from", ("optic_depth_mm",), "Enter where the depth of the lens was measured from."),
    ("tilt_reference", ("tilt_deg", "decentre_mm"), "Enter what tilt was measured against."),
)


def visit_complications(case: Case, today: Today) -> Iterator[Finding]:
    """Details belong to a complication of the same visit, noticed no later than it."""
    for path, visit in rows(case, "follow_ups"):
        for place, detail in enumerate(visit["complication_details"]):
            where = f"{path}.complication_details[{place}]"
            if detail["complication"] not in (visit["complications"] or ()):
                yield unusual(f"{where}.complication", "detail_without_complication",
                              "This detail is about a complication that the visit does not list.")
            yield from _noticed(f"{where}.days_after", case, visit, detail["days_after"])


def _noticed(path: str, case: Case, visit: Case, day: float | None) -> Iterator[Finding]:
    if day is None or case["surgery_on"] is None or visit["on"] is None:
        return
    seen = days_between(case["surgery_on"], visit["on"])
    if seen is not None and day > seen:
        yield impossible(path, "noticed_after_visit", say(
            "Day {day} is after this visit (day {seen}). Enter the day on which it was noticed.",
            day=f"{day:g}", seen=seen,
        ))


_FOR_LOST: Final = (
    ("on", "Enter the date from which no visit is expected."),
    ("reason", "Enter why no visit can be expected."),
)


def lost(case: Case, today: Today) -> Iterator[Finding]:
    """An eye is lost after surgery, not in the future, with a reason."""
    found = case["lost_to_follow_up"]
    if found is None:
        return
    for key, message in _FOR_LOST:
        if found[key] is None:
            yield missing(f"lost_to_follow_up.{key}", "missing_for_lost", message)
    day = None if found["on"] is None else as_date(found["on"])
    if day is not None and day > today.latest:
        yield impossible("lost_to_follow_up.on", "in_the_future",
                         "The date lies in the future. Enter it again.")
    if found["on"] is not None and case["surgery_on"] is not None and found["on"] < case["surgery_on"]:
        yield impossible("lost_to_follow_up.on", "lost_before_surgery",
                         "The eye cannot be lost to follow-up before surgery. Check both dates.")


CHECKS: Final[tuple[Check, ...]] = (
    visit_refraction, visit_acuity, visit_low_vision, visit_pose, visit_complications, lost,
)
