"""One damaged value at a time: which finding it makes, where, and how bad.

Every code that the checks can give is damaged into existence here; a test at the end says so.
"""

from __future__ import annotations

import math
import re
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest

import pycore.records
from pycore.api import reading_items
from pycore.records import in_theatre
from pycore.records.finding import Today
from pycore.records.shape import MOST_ROWS
from pycore.records.validate import validate
from tests.records.damaged_readings import DAMAGED_READINGS
from tests.records.damaged_visits import DAMAGED_VISITS
from tests.records.sample import changed, codes, entry, findings, reading, sample, visit

Case = dict[str, Any]
IMPOSSIBLE, UNUSUAL, MISSING = "impossible", "unusual", "missing"


def logged(*entries: Case) -> Case:
    return changed("haptic_log", list(entries), {**sample(), "decisions": []})


def read(*readings: Case, drawn_out_mm: float = 3.0) -> Case:
    case = {**sample(), "readings": list(readings), "haptic_log": [], "decisions": []}
    return changed("plan.drawn_out_mm", drawn_out_mm, case)


def both(first: tuple[str, Any], second: tuple[str, Any]) -> Case:
    return changed(*second, changed(*first))


PULLED = entry("p", 15, "a", "pull", 2.0)

#: Damaged record, path, code, severity.
DAMAGE: list[tuple[Case, str, str, str]] = [
    # Values
    (changed("measurements.axial_length_mm", "23.1"), "measurements.axial_length_mm", "wrong_type",
     IMPOSSIBLE),
    (changed("measurements.axial_length_mm", True), "measurements.axial_length_mm", "wrong_type", IMPOSSIBLE),
    (changed("measurements.axial_length_mm", math.nan), "measurements.axial_length_mm", "not_finite",
     IMPOSSIBLE),
    (changed("plan.target_d", -math.inf), "plan.target_d", "not_finite", IMPOSSIBLE),
    (changed("plan.target_d", 10**400), "plan.target_d", "not_finite", IMPOSSIBLE),
    (changed("measurements.axial_length_mm", 41), "measurements.axial_length_mm", "out_of_range", IMPOSSIBLE),
    (changed("measurements.axial_length_mm", 231), "measurements.axial_length_mm", "wrong_unit", IMPOSSIBLE),
    (changed("measurements.k1_d", 7.8), "measurements.k1_d", "wrong_unit", IMPOSSIBLE),
    (changed("measurements.r1_mm", 43), "measurements.r1_mm", "wrong_unit", IMPOSSIBLE),
    (changed("follow_ups.1.cylinder_d", 0.5), "follow_ups[1].cylinder_d", "wrong_unit", IMPOSSIBLE),
    (changed("measurements.axial_length_mm", 33), "measurements.axial_length_mm", "unusual_value", UNUSUAL),
    (changed("plan.melt_mm", 0.7), "plan.melt_mm", "unusual_value", UNUSUAL),
    (changed("eye", "both"), "eye", "unknown_choice", IMPOSSIBLE),
    (changed("demo", "no"), "demo", "wrong_type", IMPOSSIBLE),
    (changed("code", "ABCD-EFGH"), "code", "wrong_code", IMPOSSIBLE),
    (changed("surgery_on", "12.05.2026"), "surgery_on", "not_a_date", IMPOSSIBLE),
    (changed("surgery_on", "2026-02-30"), "surgery_on", "not_a_date", IMPOSSIBLE),
    (changed("created_at", "2026-05-11 16:00"), "created_at", "not_a_date", IMPOSSIBLE),
    (changed("readings.0.placement", 1.5), "readings[0].placement", "wrong_type", IMPOSSIBLE),
    (changed("lens.lens_name", "x" * 201), "lens.lens_name", "out_of_range", IMPOSSIBLE),
    (changed("follow_ups.1.complications", ["oedema"]), "follow_ups[1].complications[0]",
     "unknown_choice", IMPOSSIBLE),
    (changed("follow_ups.1.complications", "none"), "follow_ups[1].complications", "wrong_type", IMPOSSIBLE),
    (changed("measurements", [1]), "measurements", "wrong_type", IMPOSSIBLE),
    (changed("readings", {}), "readings", "wrong_type", IMPOSSIBLE),
    (changed("readings.1", 7), "readings[1]", "wrong_type", IMPOSSIBLE),
    (changed("readings", [reading(f"r{n}", 5, 3.0) for n in range(MOST_ROWS + 1)]), "readings",
     "too_many", IMPOSSIBLE),
    ({**sample(), "surgeon": "x"}, "surgeon", "unknown_key", UNUSUAL),
    (changed("plan.speed", 3), "plan.speed", "unknown_key", UNUSUAL),
    # Measurements, lens, plan
    (both(("measurements.k1_d", 44.5), ("measurements.k2_d", 42.25)), "measurements.k2_d",
     "steep_flat_swapped", IMPOSSIBLE),
    (both(("measurements.r1_mm", 7.6), ("measurements.r2_mm", 7.9)), "measurements.r2_mm",
     "steep_flat_swapped", IMPOSSIBLE),
    (changed("measurements.k2_d", 46.75), "measurements.k2_d", "large_corneal_astigmatism", UNUSUAL),
    (changed("measurements.r1_mm", 7.7), "measurements.r1_mm", "power_and_radius_differ", IMPOSSIBLE),
    (changed("measurements.limbus_vertical_mm", 12.0), "measurements.limbus_vertical_mm",
     "limbus_taller_than_wide", UNUSUAL),
    (both(("lens.lens_length_mm", 8.0), ("lens.optic_diameter_mm", 8.0)), "lens.lens_length_mm",
     "lens_shorter_than_optic", IMPOSSIBLE),
    (both(("plan.melt_mm", 3.5), ("plan.drawn_out_mm", 3.0)), "plan.melt_mm",
     "melt_longer_than_outside", IMPOSSIBLE),
    # Readings
    *[(changed("readings.0.fill", fill), "readings[0].fill", "reading_refused", IMPOSSIBLE)
      for fill in ("air", "gas", "perfluorocarbon", "viscoelastic")],
    (changed("readings.0.fill", "oil"), "readings[0].fill", "reading_through_oil", UNUSUAL),
    (changed("readings.0.refraction_d", None), "readings[0].refraction_d", "missing_for_reading", MISSING),
    (both(("readings.0.sphere_d", -0.25), ("readings.0.cylinder_d", 0.0)), "readings[0].refraction_d",
     "two_refractions", IMPOSSIBLE),
    (changed("readings.0.sphere_d", -0.75), "readings[0].cylinder_d", "missing_cylinder", MISSING),
    (changed("readings.0.cylinder_d", 0.0), "readings[0].sphere_d", "missing_sphere", MISSING),
    (changed("follow_ups.1.axis_deg", None), "follow_ups[1].axis_deg", "missing_axis", MISSING),
    (changed("readings.1.iop_mmhg", 29), "readings[1].iop_mmhg", "iop_differs", UNUSUAL),
    *[(changed(f"readings.0.{key}", None), f"readings[0].{key}", "missing_for_reading", MISSING)
      for key in ("instrument", "fill", "iop_mmhg", "length_basis")],
    (changed("readings.0.outside_b_mm", None), "readings[0].outside_b_mm", "missing_length", MISSING),
    (changed("readings.1.outside_a_mm", 0.5), "readings[1].outside_a_mm", "short_end", UNUSUAL),
    (read(reading("r1", 5, 3.0, removed_b_mm=1.0), reading("r2", 9, 1.5, removed_b_mm=0.5)),
     "readings[1].removed_b_mm", "removed_became_less", IMPOSSIBLE),
    (read(reading("r1", 5, 3.0), reading("r2", 9, 3.0, removed_a_mm=1.0)),
     "readings[1].outside_a_mm", "not_shorter_after_cut", UNUSUAL),
    (read(reading("r1", 5, 3.0), reading("r2", 9, 2.8, removed_a_mm=1.0), drawn_out_mm=5.0),
     "readings[1].outside_a_mm", "longer_after_cut", UNUSUAL),
    (read(reading("r1", 5, 3.0), reading("r2", 9, 2.8, removed_a_mm=1.0)),
     "readings[1].outside_a_mm", "beyond_taut", UNUSUAL),
    # Log and decision
    (logged(entry("l", 15, None, "cut", 1.0)), "haptic_log[0].haptic", "missing_in_log", MISSING),

    (logged(entry("l", 15, "a", None, 1.0)), "haptic_log[0].haptic_step", "missing_in_log", MISSING),

    *[(logged(PULLED, entry("l", 16, "a", step, None)), "haptic_log[1].length_mm", "missing_in_log", MISSING)
      for step in ("cut", "melt", "bury", "measure")],
    (logged(PULLED, entry("l", 16, "a", "cut", -1.0)), "haptic_log[1].length_mm", "negative_removed",
     IMPOSSIBLE),
    (logged(PULLED, entry("l", 16, "a", "pull", 2.2, corrects="x")), "haptic_log[1].corrects",
     "corrects_nothing", IMPOSSIBLE),
    (logged(entry("l", 16, "a", "pull", 2.2, corrects="l")), "haptic_log[0].corrects",
     "corrects_nothing", IMPOSSIBLE),
    (logged(PULLED, entry("l", 16, "a", "pull", 2.2, corrects="p"),
     entry("m", 17, "a", "pull", 2.3, corrects="p")),
     "haptic_log[2].corrects", "corrected_twice", IMPOSSIBLE),
    (logged(PULLED, entry("l", 16, "b", "pull", 2.2, corrects="p")), "haptic_log[1].corrects",
     "corrects_other_haptic", UNUSUAL),
    (logged(PULLED, entry("l", 16, "a", "cut", 2.1)), "haptic_log[1].length_mm",
     "removed_more_than_outside", IMPOSSIBLE),
    (logged(PULLED, entry("l", 16, "a", "melt", 2.7)), "haptic_log[1].length_mm",
     "melt_longer_than_outside", IMPOSSIBLE),
    (logged(PULLED, entry("l", 16, "a", "cut", 1.0), entry("m", 17, "a", "measure", 2.0)),
     "haptic_log[2].length_mm", "longer_than_logged", UNUSUAL),
    (changed("readings", [reading("r1", 5, 3.0), reading("r2", 50, 1.5, removed_a_mm=0.5)]),
     "readings[1].removed_a_mm", "removed_disagrees", UNUSUAL),
    (changed("decisions.0.mean_d", 0.2), "decisions[0].mean_d", "outside_its_interval", IMPOSSIBLE),
    (changed("decisions.0.cut_a_mm", 2.0), "decisions[0].cut_a_mm", "cut_disagrees", UNUSUAL),
    # Order and names
    (changed("readings.1.id", None), "readings[1].id", "missing_id", MISSING),
    (changed("readings.1.id", "r1"), "readings[1].id", "duplicate_id", IMPOSSIBLE),
    (changed("decisions.0.id", "r1"), "decisions[0].id", "duplicate_id", IMPOSSIBLE),
    (changed("updated_at", "2026-05-11T15:59:00Z"), "updated_at", "changed_before_created", IMPOSSIBLE),
    (changed("updated_at", "2026-06-21T00:00:00Z"), "updated_at", "in_the_future", IMPOSSIBLE),
    (changed("follow_ups.1.on", "2026-06-21"), "follow_ups[1].on", "in_the_future", IMPOSSIBLE),
    (changed("readings.1.at", "2026-05-12T08:01:00Z"), "readings[1].at", "out_of_order", UNUSUAL),
    (changed("readings.1.withdrawn", {"at": "2026-05-12T08:08:00Z", "reason": "x"}),
     "readings[1].withdrawn.at", "withdrawn_too_early", IMPOSSIBLE),
    (changed("surgery_on", None), "surgery_on", "missing_surgery_date", MISSING),
    (changed("surgery_on", None, {**sample(), "follow_ups": []}), "surgery_on", "missing_surgery_date",
     MISSING),
    (changed("surgery_on", "1926-05-12"), "surgery_on", "long_ago", UNUSUAL),
    (changed("surgery_on", "2026-05-09"), "readings[0].at", "not_on_surgery_day", UNUSUAL),
    (changed("follow_ups.0.on", None), "follow_ups[0].on", "missing_date", MISSING),
    (changed("follow_ups.0.on", "2026-06-11"), "follow_ups[1].on", "two_visits_on_one_day", UNUSUAL),
    (changed("follow_ups.0.on", "2026-05-11"), "follow_ups[0].on", "visit_before_surgery", IMPOSSIBLE),
    (changed("readbacks.0.at", "2026-05-12T08:07:00Z"), "readings[0].at", "reading_before_readback", UNUSUAL),
    # Visits, completeness
    (changed("follow_ups.1.cdva_logmar", 0.5), "follow_ups[1].cdva_logmar", "worse_with_correction", UNUSUAL),
    (changed("follow_ups.1.refraction_method", None), "follow_ups[1].refraction_method",
     "missing_for_series", MISSING),
    (changed("eye", None), "eye", "missing_for_plan", MISSING),
    (changed("measurements.k2_d", None), "measurements.k2_d", "missing_for_plan", MISSING),
    (changed("measurements.k_unit", "mm"), "measurements.r1_mm", "missing_for_plan", MISSING),
    (changed("lens.a", None), "lens.a", "missing_for_plan", MISSING),
    (changed("history.age_years", None), "history.age_years", "missing_for_series", MISSING),
    (changed("measurements.axial_origin", {"axial_length_mm": 23.4}), "measurements.axial_length_mm",
     "converted_value_replaced", UNUSUAL),
    *DAMAGED_READINGS, *DAMAGED_VISITS,
]  # fmt: skip


@pytest.mark.parametrize(("case", "path", "code", "severity"), DAMAGE,
                         ids=[f"{path}-{code}" for _, path, code, _ in DAMAGE])
def test_damage_is_found(case: Case, path: str, code: str, severity: str) -> None:
    assert (path, code, severity) in codes(case)


def test_the_undamaged_record_has_no_findings() -> None:
    assert findings(sample()) == []


def test_every_code_of_every_check_is_damaged_into_existence() -> None:
    source = "".join(path.read_text() for path in Path(pycore.records.__path__[0]).glob("*.py"))
    given = set(re.findall(r'(?:impossible|unusual|missing|_Fault)\(\s*(?:f?"[^"]*"|path),\s*"([a-z_]+)"',
        source))
    given |= set(re.findall(r'_Fault\(\s*"([a-z_]+)"', source))
    assert len(given) > 40
    assert given <= {code for _, _, code, _ in DAMAGE}


def test_all_findings_are_reported_worst_first() -> None:
    case = both(("measurements.k1_d", 7.8), ("plan.target_d", -5))
    case = changed("eye", None, changed("lens.a", "x", case))
    severities = [found.severity for found in findings(case)]
    assert severities == sorted(severities, key=[IMPOSSIBLE, UNUSUAL, MISSING].index)
    assert {("measurements.k1_d", "wrong_unit"), ("lens.a", "wrong_type"), ("eye", "missing_for_plan"),
            ("plan.target_d", "unusual_value")} <= {(f.path, f.code) for f in findings(case)}


def test_a_message_says_what_to_do() -> None:
    for case, _, _, _ in DAMAGE:
        for found in findings(case):
            assert found.message.endswith((".", "?")), found
            assert len(found.message.split()) >= 3, found


def test_a_radius_typed_as_a_power_is_named_with_its_power() -> None:
    # 337.5 / 7.8 = 43.27, by hand.
    message = findings(changed("measurements.k1_d", 7.8))[0].message
    assert "looks like a radius in mm" in message
    assert "43.27 D" in message


def test_a_faulty_value_is_left_out_of_the_sound_copy_and_stays_in_the_record() -> None:
    case = changed("measurements.k1_d", "43")
    assert validate(case).sound["measurements"]["k1_d"] is None
    assert case["measurements"]["k1_d"] == "43"


def test_a_withdrawn_reading_is_not_judged() -> None:
    withdrawn = {"at": "2026-05-12T09:00:00Z", "reason": "bubble"}
    case = changed("readings.0.withdrawn", withdrawn, changed("readings.0.fill", "air"))
    assert findings(case) == []


def test_a_cut_after_drawing_out_is_not_taken_for_a_length_counted_twice() -> None:
    # Drawn out 3.0, pushed in 1.0, drawn out again, 1.0 cut, read at 1.8: 2.8 to the old tip.
    case = read(reading("r1", 5, 3.0), reading("r2", 9, 1.0, placement=2),
                reading("r3", 14, 1.8, placement=3, removed_a_mm=1.0, removed_b_mm=1.0))
    assert findings({**case, "follow_ups": []}) == []


def test_a_pull_that_was_logged_explains_a_longer_end_after_a_cut() -> None:
    case = read(reading("r1", 5, 2.0), reading("r2", 20, 2.0, removed_a_mm=1.0), drawn_out_mm=3.0)
    pulled = {**case, "haptic_log": [entry("l1", 9, "a", "cut", 1.0), entry("l2", 12, "a", "pull", 2.0)]}
    assert ("readings[1].outside_a_mm", "not_shorter_after_cut", UNUSUAL) in codes(case)
    assert findings(pulled) == []


@pytest.mark.parametrize(
    ("pull", "explains"),
    [(entry("l", 12, "a", "pull", 2.0), True), (entry("l", 12, "a", "externalise", 2.0), True),
     (entry("l", 12, "b", "pull", 2.0), False), (entry("l", 12, "a", "measure", 2.0), False),
     (entry("l", 4, "a", "pull", 2.0), False), (entry("l", 30, "a", "pull", 2.0), False)],
)
def test_only_a_pull_of_that_haptic_between_the_two_readings_explains_it(pull: Case, explains: bool) -> None:
    case = read(reading("r1", 5, 2.0), reading("r2", 20, 2.0, removed_a_mm=1.0), drawn_out_mm=3.0)
    found = {found.code for found in findings({**case, "haptic_log": [pull]})}
    assert ("not_shorter_after_cut" not in found) is explains


def test_a_corrected_entry_no_longer_counts() -> None:
    wrong = entry("l1", 16, "a", "cut", 2.4)
    right = entry("l2", 17, "a", "cut", 0.4, corrects="l1")
    assert findings(logged(PULLED, wrong, right)) == []


def test_the_melt_may_use_the_length_by_which_the_flange_is_buried() -> None:
    # 2.0 outside, 1.3 cut, 0.7 left: 1.0 is melted and ends 0.3 below the surface.
    steps = [PULLED, entry("c", 16, "a", "cut", 1.3), entry("m", 17, "a", "melt", 1.0),
             entry("y", 18, "a", "bury", 0.3)]
    assert findings(logged(*steps)) == []


def test_a_reading_says_where_the_haptic_lay_unless_it_was_withdrawn_or_not_measured() -> None:
    cut = entry("c", 20, "a", "cut", 2.5)
    drawn = reading("r", 10, 3.0)
    case = {**logged(PULLED), "readings": [drawn]}
    pulled_first = entry("p", 5, "a", "pull", 2.0)
    too_much = ("haptic_log[1].length_mm", "removed_more_than_outside", IMPOSSIBLE)
    withdrawn = {"at": "2026-05-12T08:11:00Z", "reason": "x"}
    tried: tuple[tuple[Case, bool], ...] = (({}, False), ({"withdrawn": withdrawn}, True),
        ({"length_basis": "drawn_out"}, True))
    for changes, wrong in tried:
        damaged = {**case, "readings": [{**drawn, **changes}], "haptic_log": [pulled_first, cut]}
        assert (too_much in codes(damaged)) is wrong, changes


def test_nothing_is_cut_from_a_buried_haptic() -> None:
    steps = [PULLED, entry("y", 18, "a", "bury", 0.3), entry("c", 19, "a", "cut", 0.1)]
    assert ("haptic_log[2].length_mm", "removed_more_than_outside", IMPOSSIBLE) in codes(logged(*steps))


def test_as_many_rows_as_are_read_are_not_too_many() -> None:
    rows = [visit(f"v{number}", None) for number in range(MOST_ROWS)]
    assert "too_many" not in {found.code for found in findings({**sample(), "follow_ups": rows})}


WITHDRAWN = {"at": "2026-05-12T09:00:00Z", "reason": "x"}
TORIC: Case = {"sphere_d": -0.25, "cylinder_d": -1.0, "axis_deg": 20}

#: Records at the very edge: what lies just inside is not found.
EDGES: list[tuple[Case, str]] = [
    (read(reading("r", 5, 3.5)), "beyond_taut"),
    (read(reading("r1", 5, 3.0), reading("r2", 9, 2.5, removed_a_mm=1.0), drawn_out_mm=5.0),
     "longer_after_cut"),
    (read(reading("r1", 5, 3.0), reading("r2", 9, 2.9, removed_a_mm=0.05), drawn_out_mm=5.0),
     "longer_after_cut"),
    (read(reading("r1", 5, 1.0)), "short_end"),
    (changed("readings.1.iop_mmhg", 28), "iop_differs"),
    (changed("readings.0", reading("r1", 5, 3.0, **TORIC)), "two_refractions"),
    (changed("measurements.k2_d", 46.5), "large_corneal_astigmatism"),
    (changed("lens.lens_name", "x" * 200), "out_of_range"),
    (changed("plan.bury_mm", None, logged(PULLED, entry("m", 16, "a", "melt", 2.6))),
     "melt_longer_than_outside"),
    (read(reading("r1", 5, 3.0, removed_b_mm=1.0), reading("r2", 9, 1.5, removed_b_mm=0.95)),
     "removed_became_less"),
    (changed("measurements.r1_mm", 337.5 / 42.74), "power_and_radius_differ"),
    (changed("measurements.limbus_vertical_mm", 11.9), "limbus_taller_than_wide"),
    (both(("measurements.k1_d", 43.0), ("measurements.k2_d", 43.0)), "steep_flat_swapped"),
    (both(("plan.melt_mm", 3.0), ("plan.drawn_out_mm", 3.0)), "melt_longer_than_outside"),
    (logged(PULLED, entry("c", 16, "a", "cut", 0.0)), "negative_removed"),
    (logged(PULLED, entry("c", 16, "a", "cut", 2.0)), "removed_more_than_outside"),
    (logged(PULLED, entry("m", 16, "a", "melt", 2.6)), "melt_longer_than_outside"),
    (logged(PULLED, entry("c", 16, "a", "cut", 1.0), entry("m", 17, "a", "measure", 1.5)),
     "longer_than_logged"),
    (changed("readings", [reading("r2", 50, 1.5, removed_a_mm=2.3, removed_b_mm=1.7)]), "removed_disagrees"),
    (changed("readings", [reading("r2", 50, 1.5, removed_a_mm=9, withdrawn=WITHDRAWN)]), "removed_disagrees"),
    (both(("decisions.0.cut_a_mm", 1.3), ("decisions.0.cut_b_mm", 1.2)), "cut_disagrees"),
    (changed("readings.0", reading("r1", 5, 3.0, removed_a_mm=2.0, removed_b_mm=2.0, withdrawn=WITHDRAWN)),
     "cut_disagrees"),
    (changed("readings.1", reading("r2", 30, 1.5, removed_a_mm=2.0, removed_b_mm=2.0)), "cut_disagrees"),
    (both(("decisions.0.mean_d", 0.05), ("decisions.0.high80_d", 0.05)), "outside_its_interval"),
    (changed("updated_at", "2026-06-20T23:59:00Z"), "in_the_future"),
    (changed("updated_at", sample()["created_at"]), "changed_before_created"),
    (changed("readings.1.at", sample()["readings"][0]["at"]), "out_of_order"),
    (changed("surgery_on", "1990-01-01"), "long_ago"),
    (changed("surgery_on", "2026-05-11"), "not_on_surgery_day"),
    (changed("follow_ups.0.on", "2026-05-12"), "visit_before_surgery"),
    (changed("readbacks.0.at", "2026-05-12T08:05:00Z"), "reading_before_readback"),
    (changed("follow_ups.1.cdva_logmar", 0.4), "worse_with_correction"),
]


@pytest.mark.parametrize(("case", "code"), EDGES, ids=[f"{n}-{code}" for n, (_, code) in enumerate(EDGES)])
def test_what_is_just_inside_the_edge_is_not_found(case: Case, code: str) -> None:
    assert code not in {found.code for found in findings(case)}


#: The same edges, just crossed.
CROSSED: list[tuple[Case, str]] = [
    (changed("plan.bury_mm", None, logged(PULLED, entry("m", 16, "a", "melt", 2.7))),
     "melt_longer_than_outside"),
    (read(reading("r1", 5, 3.0, removed_b_mm=1.0), reading("r2", 9, 1.5, removed_b_mm=0.9)),
     "removed_became_less"),
    (both(("decisions.0.cut_a_mm", 1.0), ("decisions.0.cut_b_mm", 1.7)), "cut_disagrees"),
    (changed("readings.0", reading("r1", 5, 3.0, removed_a_mm=0.7)), "cut_disagrees"),
    (read(reading("r", 5, 3.6)), "beyond_taut"),
    (read(reading("r1", 5, 3.0), reading("r2", 9, 2.6, removed_a_mm=1.0), drawn_out_mm=5.0),
     "longer_after_cut"),
    (changed("readings.0", reading("r1", 5, 3.0, **TORIC | {"sphere_d": -0.5})), "two_refractions"),
    (changed("measurements.r1_mm", 337.5 / 42.76), "power_and_radius_differ"),
    (logged(PULLED, entry("m", 16, "a", "melt", 2.7)), "melt_longer_than_outside"),
    (logged(PULLED, entry("c", 16, "a", "cut", 1.0), entry("m", 17, "a", "measure", 1.6)),
     "longer_than_logged"),
    (changed("readings", [reading("r2", 50, 1.5, removed_a_mm=2.4, removed_b_mm=2.0)]), "removed_disagrees"),
    (both(("decisions.0.cut_a_mm", 1.4), ("decisions.0.cut_b_mm", 1.3)), "cut_disagrees"),
    (changed("readings.0", reading("r1", 5, 3.0, removed_a_mm=2.0, removed_b_mm=2.0)), "cut_disagrees"),
    (changed("surgery_on", "1989-12-31"), "long_ago"),
    (changed("readbacks.0.at", "2026-05-12T08:05:01Z"), "reading_before_readback"),
    (changed("follow_ups.1.cdva_logmar", 0.41), "worse_with_correction"),
]


@pytest.mark.parametrize(("case", "code"), CROSSED,
    ids=[f"{n}-{code}" for n, (_, code) in enumerate(CROSSED)])
def test_what_is_just_outside_the_edge_is_found(case: Case, code: str) -> None:
    assert code in {found.code for found in findings(case)}


def test_the_future_depends_on_where_the_phone_is() -> None:
    """At 11:00 UTC on the 19th it is already the 20th in Auckland, and nowhere the 21st."""
    anywhere = Today.somewhere(datetime(2026, 6, 19, 11, tzinfo=UTC))
    assert (anywhere.earliest, anywhere.latest) == (date(2026, 6, 18), date(2026, 6, 20))
    late = changed("follow_ups", [visit("v", "2026-06-20")])
    too_late = changed("follow_ups", [visit("v", "2026-06-21")])
    assert findings(late, today=anywhere) == []
    assert [found.code for found in findings(too_late, today=anywhere)] == ["in_the_future"]


@pytest.mark.parametrize(
    ("formula", "constants"),
    [("holladay1", {"surgeon_factor_mm": 1.5}), ("hoffer_q", {"pacd_mm": 5.3}),
     ("haigis", {"a0": 1.0, "a1": 0.4, "a2": 0.1})],
)
def test_a_formulas_own_constants_stand_in_for_a(formula: str, constants: Case) -> None:
    case = changed("plan.formula", formula, changed("lens.a", None))
    assert ("lens.a", "missing_for_plan", MISSING) in codes(case)
    case["lens"].update(constants)
    assert findings(case) == []


def test_what_no_reading_can_be_taken_through_is_the_same_for_records_and_advice() -> None:
    assert set(in_theatre.REFUSED_FILLS) == set(reading_items.REFUSED_FILL)
