"""The export through the door: one line per eye, the very numbers, what was left out and why."""

from __future__ import annotations

import csv
import io
import json
from typing import Any

import pytest

from pycore.api.boundary import answer
from pycore.exchange.columns import COLUMNS, EYE_KEYS
from pycore.fields import FIELDS
from pycore.records.codes import new_code
from tests.records.sample import CODE, OTHER_CODE, changed, entry, reading, sample, visit

Case = dict[str, Any]


def export(*cases: Any, **options: Any) -> Case:
    value: Case = answer("export_csv", {"cases": list(cases), "today": "2026-06-20",
                                         "age_band_years": 1, **options})["value"]
    return value


def lines(*cases: Any, **options: Any) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(export(*cases, **options)["csv"], newline=""), strict=True))


def line(case: Case) -> dict[str, str]:
    return lines(case)[0]


def test_the_numbers_of_the_record_are_in_the_line() -> None:
    found = line(sample())
    for section, prefix in (("history", ""), ("measurements", ""), ("lens", ""), ("plan", "plan_")):
        for key, value in sample()[section].items():
            if isinstance(value, int | float) and not isinstance(value, bool):
                assert float(found[prefix + key]) == value, key
    assert (found["eye"], found["sex"], found["plan_formula"]) == ("left", "male", "srkt")
    assert found["plan_iridectomy_planned"] == "true"
    assert found["pacd_mm"] == ""


def test_readings_are_summed_up_without_those_withdrawn() -> None:
    withdrawn = reading("x", 2, 2.0, refraction_d=-9, withdrawn={"at": "2026-05-12T08:03:00Z", "reason": "x"})
    toric = reading("y", 12, 2.0, placement=3, refraction_d=None, sphere_d=-0.5, cylinder_d=-1.5, axis_deg=10,
                    instrument="retinoscope")
    case = {**sample(), "readings": [withdrawn, *sample()["readings"], toric]}
    found = line(case)
    assert (found["readings_count"], found["readings_withdrawn"], found["readings_placements"]) == ("3",
        "1", "3")
    assert found["readings_instruments"] == "aberrometer retinoscope"
    assert float(found["first_reading_refraction_d"]) == -0.75
    assert float(found["last_reading_refraction_d"]) == -1.25  # -0.50 - 1.50 / 2
    assert float(found["first_reading_outside_a_mm"]) == 3.0


def test_the_decision_and_what_was_done() -> None:
    log = [*sample()["haptic_log"][:2], entry("w", 19, "a", "cut", 2.0),
           entry("c", 20, "a", "cut", 0.5, corrects="w"), entry("d", 21, "a", "cut", 0.5)]
    found = line({**sample(), "haptic_log": log})
    assert float(found["decision_outside_mm"]) == 1.7
    assert float(found["decision_mean_d"]) == -0.4
    assert found["decision_no_useful_adjustment"] == "false"
    assert found["decision_core_version"] == "0.1.0"
    assert (float(found["done_cut_a_mm"]), found["done_cut_b_mm"], found["done_bury_a_mm"]) == (1.0, "", "")


def test_the_outcome_is_the_first_refraction_from_day_28_on() -> None:
    visits = [visit("a", "2026-06-08", sphere_d=-9), visit("c", "2026-06-15", sphere_d=-7),
              visit("b", "2026-06-09", cylinder_d=-1.0)]
    found = line({**sample(), "follow_ups": visits})
    assert found["outcome_days"] == "28"
    assert float(found["outcome_se_d"]) == pytest.approx(-0.75, abs=1e-12)  # -0.25 - 1.00 / 2 at 12 mm
    assert float(found["outcome_error_d"]) == pytest.approx(-0.35, abs=1e-12)  # against -0.40
    assert found["outcome_counts"] == "true"


def test_complications_of_all_visits_none_and_not_looked() -> None:
    def words(*seen: Any) -> str:
        visits = [visit(f"v{n}", f"2026-05-{13 + n}", complications=found) for n, found in enumerate(seen)]
        return line({**sample(), "follow_ups": visits})["complications"]

    assert words(["uveitis"], ["hypotony", "uveitis"]) == "hypotony uveitis"
    assert words([], []) == "none"
    assert words([], None) == ""
    assert words() == ""


def test_both_eyes_of_a_person_share_a_random_person() -> None:
    person = new_code()
    pair = [{**sample(), "person": person},
        {**sample(), "person": person, "code": OTHER_CODE, "eye": "right"}]
    first, second = lines(*pair)
    assert first["person_id"] == second["person_id"] != ""
    assert first["eye_id"] != second["eye_id"]
    assert person not in export(*pair)["csv"]


def test_identities_are_fresh_in_every_export() -> None:
    assert line(sample())["eye_id"] != line(sample())["eye_id"]


def test_the_order_of_lines_tells_nothing() -> None:
    cases = [{**sample(), "code": new_code()} for _ in range(30)]
    found = [row["eye_id"] for row in lines(*cases)]
    assert found == sorted(found)


def test_nothing_that_identifies_is_in_the_file() -> None:
    text = export(sample())["csv"]
    assert CODE not in text
    assert "tray 4" not in text
    assert "2026" not in text
    assert text.isascii()


@pytest.mark.parametrize(
    ("case", "why"),
    [
        ({**sample(), "demo": True}, "invented"),
        (changed("eye", None), "eye was not chosen"),
        ({**sample(), "code": None}, "no case code"),
        (changed("measurements.k1_d", 7.8), "measurements.k1_d"),
        ({**sample(), "schema": 2}, "newer version"),
        ({"code": CODE}, "backup"),
    ],
)
def test_an_eye_is_left_out_with_the_reason(case: Case, why: str) -> None:
    value = export(case)
    assert value["rows"] == 0
    assert why in value["left_out"][0]["why"]
    assert value["csv"].count("\r\n") == 1


def test_an_eye_listed_twice_is_in_the_file_once() -> None:
    value = export(sample(), sample())
    assert (value["rows"], len(value["left_out"])) == (1, 1)


def test_invented_eyes_come_when_asked_for() -> None:
    assert len(lines({**sample(), "demo": True}, exclude_demo=False)) == 1


def test_columns_are_fixed_unique_and_described_by_the_glossary() -> None:
    value = export()
    names = [*EYE_KEYS, *(column.name for column in COLUMNS)]
    assert value["columns"] == names == value["csv"].rstrip("\r\n").split(",")
    assert len(set(names)) == len(names)
    assert names[0] == "schema_version"
    assert all(column.field in FIELDS for column in COLUMNS if column.field)
    assert all(described["meaning"] for described in value["described"])


def test_a_column_is_described_by_unit_and_meaning() -> None:
    described = {entry["name"]: entry for entry in export()["described"]}
    assert described["k1_d"]["unit"] == "D"
    assert described["k1_d"]["meaning"] == FIELDS["k1_d"].meaning
    assert described["first_reading_iop_mmhg"]["meaning"] == "Intraocular pressure. (first reading)"
    assert described["eye_id"]["meaning"] == "random, for this export only"


def test_the_number_of_the_column_table_is_in_every_line() -> None:
    # Raise it with the table; readers of older files rely on it.
    assert line(sample())["schema_version"] == "2"


def test_the_last_day_seen_needs_a_date_of_surgery() -> None:
    assert line(sample())["visits_last_day"] == "30"
    unknown = {**sample(), "surgery_on": None}
    assert line(unknown)["visits_last_day"] == ""


def test_the_unit_in_a_columns_name_is_the_glossarys() -> None:
    units = {"_mm": "mm", "_d": "D", "_deg": "°", "_mmhg": "mmHg", "_logmar": "logMAR", "_years": "years"}
    for column in COLUMNS:
        unit = next((unit for end, unit in units.items() if column.name.endswith(end)), None)
        if unit:
            assert column.field is not None
            assert FIELDS[column.field].unit == unit, column.name


def test_the_smallest_group_is_counted() -> None:
    others = [{**sample(), "code": new_code()} for _ in range(3)]
    rare = changed("history.age_years", 20, {**sample(), "code": OTHER_CODE})
    assert export(*others)["smallest_group"] == 3
    assert export(*others, rare)["smallest_group"] == 1
    assert export()["smallest_group"] is None


def test_text_in_a_number_never_reaches_the_file() -> None:
    value = export(changed("plan.target_d", "=1+1"))
    assert "=1+1" not in json.dumps(value["csv"])
    assert value["rows"] == 0
