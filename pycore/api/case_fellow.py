"""The two eyes of one person beside each other: measurements only."""

from __future__ import annotations

from pycore.api.case_biometry import biometry
from pycore.formulas.screening import between_eyes
from pycore.records.case import Case
from pycore.records.finding import Finding, impossible, unusual
from pycore.words import say

_PATHS = {
    "eyes_differ_in_length": "measurements.axial_length_mm",
    "eyes_differ_in_corneal_power": "measurements.k1_d",
}


def compare_eyes(case: Case, fellow: Case) -> list[Finding]:
    """What two sound records of one person show when compared, worst first."""
    return [*_wrong_pair(case, fellow), *_measurements(case, fellow)]


def _wrong_pair(case: Case, fellow: Case) -> list[Finding]:
    found = []
    if case["eye"] is not None and case["eye"] == fellow["eye"]:
        found.append(impossible("eye", "same_eye_twice", say(
            "Both records are of the {eye} eye. Check which eye each one belongs to.",
            eye=case["eye"],
        )))
    if case["person"] is None or case["person"] != fellow["person"]:
        found.append(impossible("person", "not_one_person", "The two records are not linked to one "
                                "person. Compare only the two eyes of one person."))
    return found


def _measurements(case: Case, fellow: Case) -> list[Finding]:
    first, second = biometry(case), biometry(fellow)
    if first is None or second is None:
        return []
    return [unusual(_path(case, code), code, message) for code, message in between_eyes(first, second)]


def _path(case: Case, code: str) -> str:
    path = _PATHS[code]
    radii = case["measurements"]["k_unit"] == "mm"
    return path.replace("k1_d", "r1_mm") if radii else path
