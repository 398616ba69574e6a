"""Stored eyes in every stage, for the operations that read a case.

The codes are drawn from the seed, so they differ from eye to eye and repeat from run to
run. An export holds at most one eye that can be exported: lines stand in random order.
"""

from __future__ import annotations

import random
import re
from typing import Any, Final

from pycore.records.case import CASE, Group, Rows, empty, empty_case
from pycore.records.codes import ALPHABET, FREE_CHARACTERS, complete
from tests.generators import Payload, cornea, generator, lens_constants, sometimes, step

TODAY: Final = "2026-11-20"
_DAY: Final = "2026-09-15"
_RANDOM: Final = re.compile(rf"(?<![A-Z0-9])([EPX])-[{ALPHABET}]{{10}}\b")
#: Imported eyes and their persons get codes drawn anew.
_CODE: Final = re.compile(rf"\b[{ALPHABET}]{{4}}-[{ALPHABET}]{{4}}\b")
#: An archive holds such identities, and packing differs from one library to another.
_ARCHIVE: Final = re.compile(r',?"base64":"[^"]*"(?=\})')
_VISITS: Final = (("2026-09-16", 1), ("2026-09-22", 7), ("2026-10-14", 29), ("2026-11-18", 64))


def without_random_identities(text: str) -> str:
    """An answer's text with the identities drawn for one export taken out."""
    return _CODE.sub("", _RANDOM.sub(r"\1-", _ARCHIVE.sub("", text)))


def with_seeded_identities(text: str, source: random.Random) -> str:
    """A text with the identities drawn for one export replaced by ones that the seed gives."""
    seeded: dict[str, str] = {}

    def replaced(found: re.Match[str]) -> str:
        fresh = f"{found[1]}-{''.join(source.choices(ALPHABET, k=10))}"
        return seeded.setdefault(found[0], fresh)

    return _RANDOM.sub(replaced, text)


@generator("check_case")
def check_case(source: random.Random) -> Payload:
    case = stored_eye(source)
    fellow = {**stored_eye(source), "eye": "left" if case["eye"] == "right" else "right"}
    return {"case": case, "today": TODAY, **sometimes(source, 0.3, fellow=fellow)}


@generator("plan_case")
def plan_case(source: random.Random) -> Payload:
    case = stored_eye(source)
    aphakic = {"instrument": source.choice(["aberrometer", "retinoscope"]), "vertex_mm": source.choice([12, 13.5]),
               "form": "equivalent", "refraction_d": step(source, 8.0, 15.0, 0.25)}
    fill = {"medium": source.choice(["oil", "gas", "saline"]), "lens_index": source.choice([1.46, 1.55, None]),
            "oil_stays": source.choice([True, False, None])}
    return {"case": {**case, **sometimes(source, 0.4, aphakic=aphakic), **sometimes(source, 0.4, fill_after=fill),
                     **sometimes(source, 0.1, ignore_history=True)}}


@generator("measured_otherwise")
def measured_otherwise(source: random.Random) -> Payload:
    kind = source.choice(list(_OTHERWISE))
    fellow = sometimes(source, 0.3, fellow=stored_eye(source))
    return {"case": stored_eye(source), "otherwise": kind, **_OTHERWISE[kind], **fellow}


_OTHERWISE: Final[dict[str, Payload]] = {
    "velocity": {"axial_length_mm": 23.4, "axial_method": "contact", "velocity_m_s": 1550, "lens_state": "aphakic"},
    "index": {"k1_d": 43.1, "k2_d": 44.3, "keratometer_index": 1.332},
    "total": {"k1_d": 42.1, "k2_d": 43.3},
    "laser": {"laser_for": "myopia"},
    "no_length": {},
    "no_cornea": {},
    "depth": {"chamber_depth_mm": 2.7},
}


@generator("theatre_case")
def theatre_case(source: random.Random) -> Payload:
    return {"case": stored_eye(source)}


@generator("microscope_case")
def microscope_case(source: random.Random) -> Payload:
    marks = [
        {"id": f"m{place}", "at": f"{_DAY}T06:30:00Z", "mark": source.choice(["bleb", "port", "infusion"]),
         "at_clock": source.choice(["12", "1:30", "9", "7"]), "withdrawn": None}
        for place in range(source.randint(0, 3))
    ]
    case = stored_eye(source)
    case["plan"] = {**case["plan"], "seat": source.choice([None, "superior", "temporal"])}
    return {"case": {**case, "marks": marks}}


@generator("sheet_case")
def sheet_case(source: random.Random) -> Payload:
    """A small grid: a whole page costs a hundred titrations."""
    size = {"rows": source.randint(1, 3), "columns": source.randint(1, 3)}
    instrument = source.choice(["aberrometer", "retinoscope", "autorefractor"])
    return {"case": stored_eye(source), **size, **sometimes(source, 0.5, instrument=instrument)}


@generator("follow_up_case")
def follow_up_case(source: random.Random) -> Payload:
    return {"case": stored_eye(source), "today": TODAY}


@generator("note_case")
def note_case(source: random.Random) -> Payload:
    return {"case": stored_eye(source), "today": TODAY, **sometimes(source, 0.5, dates=True)}


@generator("export_csv")
def export_csv(source: random.Random) -> Payload:
    left_out = [
        {**stored_eye(source), "demo": True}, {**stored_eye(source), "eye": None},
        {**stored_eye(source), "schema": 99}, {"code": code(source)},
    ]
    cases = source.sample(left_out, source.randint(0, 4)) + [stored_eye(source)] * source.randint(0, 2)
    source.shuffle(cases)
    return {"cases": cases, "today": TODAY, **sometimes(source, 0.2, exclude_demo=True)}


@generator("demo_cases")
def demo_cases(source: random.Random) -> Payload:
    return {}


def code(source: random.Random) -> str:
    return complete("".join(source.choices(ALPHABET, k=FREE_CHARACTERS)))


def stored_eye(source: random.Random) -> dict[str, Any]:
    """An eye that is planned, half read, read, cut, or followed."""
    reached = source.randint(0, 4)
    case = empty_case(code=code(source), created_at=f"{_DAY}T06:00:00Z")
    case |= {"eye": source.choice(["right", "left"]), "updated_at": f"{_DAY}T12:00:00Z"}
    for section, given in _planned(source).items():
        case[section] |= given
    steps = (_read_back, _read, _decided, _followed)
    for act in steps[:reached]:
        act(source, case)
    return case


def _planned(source: random.Random) -> dict[str, Payload]:
    eye = cornea(source)
    constants = {"a": step(source, 117.5, 119.5, 0.1)} if source.random() < 0.6 else lens_constants(source)
    return {
        "history": {"age_years": source.randint(18, 97), "cornea": "ordinary",
                    **sometimes(source, 0.8, sex="female", indication="trauma", vitreous="removed")},
        "measurements": {
            "axial_length_mm": step(source, 21.0, 28.0, 0.01), "axial_method": "optical",
            "keratometry_method": "table", "k_unit": "mm" if "r1_mm" in eye else "d", **eye,
            **sometimes(source, 0.5, phakic_acd_mm=step(source, 2.4, 4.0, 0.01))},
        "lens": {"lens_name": "=tray", "lens_power_d": step(source, 8.0, 28.0, 0.5), **constants},
        "plan": {
            "target_d": step(source, -2.0, 0.25, 0.25), "meridian_deg": source.randint(0, 179),
            "formula": source.choice(["srkt", "holladay1", "hoffer_q"]), "entry_a_mm": 2.0,
            "entry_b_mm": 2.0, "melt_mm": 1.0, "bury_mm": 0.3, "drawn_out_mm": 3.0},
    }


def _row(section: str, **given: Any) -> Payload:
    node = CASE.members[section]
    assert isinstance(node, Rows)
    assert isinstance(node.row, Group)
    return {**empty(node.row), **given}


def _read_back(source: random.Random, case: Payload) -> None:
    case["readbacks"] = [_row("readbacks", id="rb", at=f"{_DAY}T07:00:00Z", kind="plan", values={},
        by_two=True)]


def _read(source: random.Random, case: Payload) -> None:
    case["readings"] = [
        _row("readings", id=f"r{number}", at=f"{_DAY}T07:1{number}:00Z", length_basis="measured",
             outside_a_mm=step(source, 1.0, 3.0, 0.5), outside_b_mm=step(source, 1.0, 3.0, 0.5),
             placement=number, refraction_d=step(source, -2.0, 1.0, 0.125),
             instrument=source.choice(["aberrometer", "retinoscope"]), iop_mmhg=source.randint(12, 22),
             fill="saline", infusion="closed")
        for number in range(source.randint(1, 4))
    ]


def _decided(source: random.Random, case: Payload) -> None:
    outside = step(source, 1.0, 2.5, 0.1)
    cut = round(outside - 0.7, 1)
    mean = step(source, -1.0, 0.5, 0.01)
    case["decisions"] = [
        _row("decisions", id="d", at=f"{_DAY}T07:30:00Z", outside_mm=outside, cut_a_mm=cut, cut_b_mm=cut,
             melt_mm=1.0, bury_mm=0.3, mean_d=mean, sd_d=0.4, low80_d=mean - 0.5, high80_d=mean + 0.5,
             within_050=0.7, no_useful_adjustment=False, readings_used=2)]
    steps = (("pull", 3.0), ("cut", cut), ("melt", 1.0), ("bury", 0.3))
    case["haptic_log"] = [
        _row("haptic_log", id=f"l{number}{side}", at=f"{_DAY}T07:4{number}:00Z", haptic=side,
             haptic_step=kind, length_mm=length, basis="measured")
        for number, (kind, length) in enumerate(steps) for side in "ab"]


def _followed(source: random.Random, case: Payload) -> None:
    case["surgery_on"] = _DAY
    case["updated_at"] = f"{TODAY}T06:00:00Z"
    case["follow_ups"] = [
        _row("follow_ups", id=f"v{days}", on=day, sphere_d=step(source, -3.0, 2.0, 0.25),
             cylinder_d=step(source, -2.0, 0.0, 0.25), axis_deg=source.randint(1, 180),
             refraction_method="subjective", iop_mmhg=source.randint(5, 34),
             complications=source.choice([None, [], ["uveitis"], ["flange_exposed", "tilt"]]),
             **sometimes(source, 0.5, vertex_mm=13.0, cdva_logmar=0.1))
        for day, days in _VISITS[: source.randint(0, 4)]
    ]
