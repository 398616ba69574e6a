"""Ways to enter the wrong side, sign, unit, notation, lens or patient, and what the app does.

    .venv/bin/python -m tests.unit.wrong_entries          prints the table

An invented eye with one slip each, asked through the door that the screens use. Every slip must
be refused, close the theatre until the plan is read back again, be asked about, or be cautioned
about in words that name it; ``tests/unit/test_wrong_entries.py`` holds the app to the table. Slips that the
number field catches before anything reaches the door stand in ``tests/browser/test_elements.py``.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from pycore.api.boundary import answer
from pycore.errors import GuylineError
from tests.records.sample import changed, entry, reading, sample

Case = dict[str, Any]


def read_back(case: Case) -> Case:
    """The case with its plan read back as it stands."""
    fingerprint = answer("plan_case", {"case": case})["value"]["readback"]["fingerprint"]
    return changed("readbacks.0.values", {"fingerprint": fingerprint}, case)


def _eye() -> Case:
    """An ordinary right eye with two readings near its plan, read back, nothing cut."""
    bare = {**sample(), "eye": "right", "haptic_log": [], "decisions": [], "surgery_on": None, "follow_ups": []}
    bare["history"] = {**bare["history"], "cornea": "ordinary"}
    bare["readings"] = [reading("r1", 5, 3.0, refraction_d=-0.6), reading("r2", 9, 1.5, placement=2, refraction_d=-0.3)]
    return read_back(bare)


EYE = _eye()
AS_TYPED = changed  # a slip after the read-back, seen in theatre


def planned(path: str, value: Any, **more: Any) -> Case:
    """A slip made while planning, and read back with the rest."""
    case = changed(path, value, {**EYE, **more})
    try:
        return read_back(case)
    except (GuylineError, TypeError):
        return case


def second(**slip: Any) -> Case:
    """A slip in the second reading."""
    return changed("readings.1", reading("r2", 9, 1.5, **{"placement": 2, "refraction_d": None, **slip}), EYE)


def logged(*steps: Case) -> Case:
    return {**EYE, "haptic_log": list(steps)}


@dataclass(frozen=True, slots=True)
class Trial:
    """One slip: its kind, what is entered, and the stable word of what the app answers."""

    kind: str
    slip: str
    case: Case
    code: str


@dataclass(frozen=True, slots=True)
class Said:
    """How the app reacted, and its words."""

    how: str
    words: str


def reactions(case: Case) -> dict[str, Said]:
    """Everything that plan, theatre and record say about a case, by code; the strictest word first."""
    found: dict[str, Said] = {}
    for code, said in _all(case):
        found.setdefault(code, said)
    return found


def _all(case: Case) -> Iterator[tuple[str, Said]]:
    for operation in ("plan_case", "theatre_case"):
        try:
            value = answer(operation, {"case": case})["value"]
        except GuylineError as error:
            yield error.code, Said("refused", error.message)
            continue
        yield from _words(value)
    for found in answer("check_case", {"case": case, "today": "2026-06-20"})["value"]["findings"]:
        how = {"impossible": "refused", "missing": "asked for"}.get(found["severity"], "cautioned")
        yield found["code"], Said(how, found["message"])


def _words(value: Case) -> Iterator[tuple[str, Said]]:
    for one in value.get("missing", ()):
        yield f"missing:{one['path']}", Said("asked for", one["message"])
    blocked = value.get("blocked")
    if blocked:
        yield blocked["code"], Said("theatre closed", blocked["reason"])
    for one in value.get("readings", ()):
        if one["why_not"]:
            yield "reading_not_used", Said("reading not used", one["why_not"])
    for one in value["cautions"]:
        yield one["code"], Said("cautioned", one["message"])


RETINOSCOPE: Case = {"instrument": "retinoscope"}
CYLINDER: Case = {"sphere_d": -1.0, "cylinder_d": -1.0, "axis_deg": 90}

TRIALS = (
    Trial("side", "No eye chosen", planned("eye", None), "missing:eye"),
    Trial("side", "Left in place of right, after the read-back", AS_TYPED("eye", "left", EYE), "plan_changed"),
    Trial("side", "Fixation meridian turned from 25 to 115 after the read-back", AS_TYPED("plan.meridian_deg", 115, EYE),
          "plan_changed"),
    Trial("side", "Second haptic's cut and flange logged on the first haptic again", logged(
        entry("c", 20, "a", "cut", 0.8), entry("m", 21, "a", "melt", 1.0),
        entry("d", 22, "a", "cut", 0.8), entry("n", 23, "a", "melt", 1.0)), "removed_more_than_outside"),
    Trial("sign", "Lens power \N{MINUS SIGN}22.0 D in place of +22.0 D", planned("lens.lens_power_d", -22.0), "out_of_range"),
    Trial("sign", "Lens power \N{MINUS SIGN}8.0 D in an eye that needs plus", planned("lens.lens_power_d", -8.0),
          "lens_far_from_target"),
    Trial("sign", "Target +0.50 D in place of \N{MINUS SIGN}0.50 D", planned("plan.target_d", 0.5), "target_hyperopic"),
    Trial("sign", "One reading +2.25 D in place of \N{MINUS SIGN}2.25 D", second(refraction_d=2.25), "reading_doubtful"),
    Trial("sign", "Readings at both ends exchanged", changed("readings", [
        reading("r1", 5, 3.0, refraction_d=0.4), reading("r2", 9, 1.0, placement=2, refraction_d=-0.9)], EYE),
        "slope_against_sign"),
    Trial("unit", "Axial length 231 in place of 23.1 mm", planned("measurements.axial_length_mm", 231), "wrong_unit"),
    Trial("unit", "Corneal power 7.94, a radius in mm", planned("measurements.k1_d", 7.94), "wrong_unit"),
    Trial("unit", "Radius 42.5, a power in D", planned("measurements", {
        **EYE["measurements"], "k_unit": "mm", "r1_mm": 42.5, "r2_mm": 44.0}), "wrong_unit"),
    Trial("unit", "Length outside 15 in place of 1.5 mm", second(outside_a_mm=15, refraction_d=-0.3), "out_of_range"),
    Trial("unit", "Working distance 67, in cm", second(**RETINOSCOPE, refraction_d=1.2, working_distance_m=67), "out_of_range"),
    Trial("unit", "Vertex 0.012, in metres", second(refraction_d=-0.3, vertex_mm=0.012), "unusual_value"),
    Trial("unit", "IOP 180 in place of 18 mmHg", second(refraction_d=-0.3, iop_mmhg=180), "out_of_range"),
    Trial("unit", "A constant 1187", planned("lens.a", 1187), "out_of_range"),
    Trial("notation", "Plus cylinder in the minus-cylinder field", second(**{**CYLINDER, "cylinder_d": 1.0}), "wrong_unit"),
    Trial("notation", "Axis 270", second(**{**CYLINDER, "axis_deg": 270}), "out_of_range"),
    Trial("notation", "Cylinder without its axis", second(**{**CYLINDER, "axis_deg": None}), "missing_axis"),
    Trial("notation", "Equivalent and sphere with cylinder that differ", second(**CYLINDER, refraction_d=-0.3),
          "two_refractions"),
    Trial("notation", "Retinoscope's lens as held (50 cm) entered as net", changed("readings", [
        reading("r1", 5, 3.0, **RETINOSCOPE, refraction_d=1.4)], EYE), "working_distance_left_in"),
    Trial("notation", "Working distance with an aberrometer", second(refraction_d=-0.3, working_distance_m=0.67),
          "distance_without_retinoscope"),
    Trial("notation", "Flat and steep exchanged", planned("measurements", {
        **EYE["measurements"], "k1_d": 44.0, "k2_d": 42.5}), "steep_flat_swapped"),
    Trial("notation", "Axial length as text with a comma", planned("measurements.axial_length_mm", "23,1"), "wrong_type"),
    Trial("lens", "Lens changed after the read-back", AS_TYPED("lens.lens_power_d", 24.0, EYE), "plan_changed"),
    Trial("lens", "Power 12.0 D, planned for another eye", planned("lens.lens_power_d", 12.0), "lens_far_from_target"),
    Trial("lens", "Power 215 in place of 21.5 D", planned("lens.lens_power_d", 215), "out_of_range"),
    Trial("lens", "A constant of an anterior chamber lens", planned("lens.a", 114.5), "unusual_value"),
    Trial("lens", "Another power than planned went in: both readings 3.5 D off", changed("readings", [
        reading("r1", 5, 3.0, refraction_d=2.9), reading("r2", 9, 1.5, placement=2, refraction_d=3.2)], EYE),
        "readings_contradict_plan"),
    Trial("patient", "Another patient's axial length, 26.9 mm", planned("measurements.axial_length_mm", 26.9),
          "readings_contradict_plan"),
    Trial("patient", "Another patient's reading among this eye's", second(refraction_d=-5.5), "reading_doubtful"),
    Trial("patient", "Other eye's refraction with the wrong sign", planned("plan.fellow_se_d", 3.25), "eyes_far_apart"),
    Trial("length", "Length before the cut entered after it", {**logged(
        entry("c", 20, "a", "cut", 0.8), entry("d", 21, "b", "cut", 0.8)), "readings": [
        *EYE["readings"], reading("r3", 25, 3.0, placement=3, removed_a_mm=0.8, removed_b_mm=0.8)]}, "length_past_taut"),
    Trial("length", "What was removed so far falls from one reading to the next", changed("readings", [
        reading("r1", 5, 2.0, removed_a_mm=0.8, removed_b_mm=0.8), reading("r2", 9, 1.5, placement=2)], EYE),
        "removed_became_less"),
    Trial("eye", "A reading through air", second(refraction_d=-0.3, fill="air"), "reading_not_used"),
)


def main() -> None:
    """Print the table."""
    print("| No. | kind | what was entered | the app | its words |\n|---|---|---|---|---|")
    for rank, trial in enumerate(TRIALS, 1):
        said = reactions(trial.case).get(trial.code)
        how, words = (said.how, said.words) if said else ("NOTHING", "")
        print(f"| {rank} | {trial.kind} | {trial.slip} | {how} | {words} |")


if __name__ == "__main__":
    main()
