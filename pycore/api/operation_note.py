"""The text of an operation note, from what was planned, read back, read, decided and logged."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from pycore.api.case_done import expected
from pycore.api.case_numbers import DEFAULT_FORMULA, both_sides
from pycore.api.note_words import (
    both,
    entries_text,
    eye_text,
    haptic_names,
    lens_text,
    outcome_text,
    section,
    written,
)
from pycore.api.shown_as import in_form
from pycore.api.visit_words import refraction_text
from pycore.api.wording import ABSENT, quantity, word
from pycore.belief.eye import REFERENCE_TUNNEL_MM
from pycore.fields import FIELDS
from pycore.optics.refraction import Spherocylinder
from pycore.records.case import Case, current_log, standing
from pycore.words import capital, joined, say

_TITLE: Final = "OPERATION NOTE: lens fixed to the sclera by two flanged haptics"
_CONDITIONS: Final = len(FIELDS["conditions"].choices)
#: Steps whose length is what is outside afterwards; others say what was taken off, or a depth.
_OUTSIDE: Final = ("externalise", "pull", "measure")


def operation_note(case: Case, *, dates: bool, cylinder: str = "minus") -> str:
    """The whole note; ``dates`` puts in the date of surgery, ``cylinder`` is the form of readings."""
    lines = [
        _TITLE, "",
        *section("Eye and lens", _eye(case, dates=dates)),
        *section("Plan", _plan(case)),
        *section("Read-backs", _readbacks(case)),
        *section("Readings", _readings(case, cylinder)),
        *section("Decision", _decisions(case)),
        *section("What was done", _log(case)),
        *section("Events", _events(case)),
    ]
    return written(lines)


def _eye(case: Case, *, dates: bool) -> Iterator[str]:
    history = case["history"]
    yield say("{case}; {case2}", case=eye_text(case), case2=lens_text(case))
    if history["indication"] is not None:
        yield say("Indication: {lower}", lower=word(history["indication"], "indication").lower())
    if history["vitreous"] is not None:
        yield say("Vitreous: {lower}", lower=word(history["vitreous"], "vitreous").lower())
    if dates and case["surgery_on"] is not None:
        yield say("Date of surgery: {surgery_on}", surgery_on=case["surgery_on"])


def _plan(case: Case) -> Iterator[str]:
    plan, measured = case["plan"], case["measurements"]
    formula = word(plan["formula"] or DEFAULT_FORMULA, "formula")
    yield say(
        "Target {target_d}; base formula {formula}",
        target_d=quantity(plan["target_d"], "target_d"), formula=formula,
    )
    yield say(
        "Axial length {axial_length_mm}; {measured}",
        axial_length_mm=quantity(measured["axial_length_mm"], "axial_length_mm"),
        measured=_cornea(measured),
    )
    first, second = haptic_names(case)
    yield say(
        "Fixation meridian {meridian_deg}: {first}, {second}",
        meridian_deg=quantity(plan["meridian_deg"], "meridian_deg"), first=first, second=second,
    )
    tunnels = both(*both_sides(plan, "tunnel", REFERENCE_TUNNEL_MM), "tunnel_mm")
    assumed = " (assumed)" if plan["tunnel_a_mm"] is None or plan["tunnel_b_mm"] is None else ""
    yield say(
        "Entries {case}; tunnels {tunnels}{assumed}",
        case=entries_text(case), tunnels=tunnels, assumed=assumed,
    )
    if plan["seat"] is not None:
        yield say("Surgeon's seat: {lower}", lower=word(plan["seat"], "seat").lower())
    if plan["iridectomy_planned"] is not None:
        yield say(
            "Peripheral iridectomy planned: {value}",
            value="yes" if plan["iridectomy_planned"] else "no",
        )


def _cornea(measured: Case) -> str:
    if measured["k_unit"] == "mm":
        return say("corneal radii {r1_mm}", r1_mm=both(measured["r1_mm"], measured["r2_mm"], "r1_mm"))
    return say("K {k1_d}", k1_d=both(measured["k1_d"], measured["k2_d"], "k1_d"))


def _readbacks(case: Case) -> Iterator[str]:
    for kind in ("plan", "cut"):
        rows = [row for row in case["readbacks"] if row["kind"] == kind]
        yield say(
            "{kind}: {readback}",
            kind=word(kind, "readback"), readback=_readback(rows[-1] if rows else None),
        )


def _readback(row: Case | None) -> str:
    if row is None or row["by_two"] is None:
        return "no read-back recorded"
    return "read back by two people" if row["by_two"] else "NOT read back"


def _readings(case: Case, cylinder: str) -> Iterator[str]:
    for number, reading in enumerate(case["readings"], 1):
        gone = " WITHDRAWN, not used" if reading["withdrawn"] is not None else ""
        yield say(
            "{number}. {listed}{gone}",
            number=number, listed=joined("; ", _reading(reading, cylinder)), gone=gone,
        )


def _reading(reading: Case, cylinder: str) -> Iterator[str]:
    yield say(
        "{reading} by {lower}",
        reading=_value(reading, cylinder), lower=word(reading["instrument"], "instrument").lower(),
    )
    if reading["length_basis"] == "measured":
        outside = both(reading["outside_a_mm"], reading["outside_b_mm"], "outside_now_mm")
        yield say("outside now {outside}, measured", outside=outside)
    elif reading["length_basis"] is not None:
        yield word(reading["length_basis"], "length_basis").lower()
    removed = (reading["removed_a_mm"] or 0.0, reading["removed_b_mm"] or 0.0)
    if any(removed):
        yield say("removed before {both}", both=both(*removed, "removed_mm"))
    for key, name in (("iop_mmhg", "IOP"), ("fill", "fill"), ("infusion", "infusion")):
        if reading[key] is not None:
            yield say("{name} {reading}", name=name, reading=_shown(reading[key], key))
    if reading["conditions"] is not None:
        yield say(
            "{conditions} of {conditions2} conditions confirmed",
            conditions=len(reading["conditions"]), conditions2=_CONDITIONS,
        )


def _shown(value: Any, key: str) -> str:
    return word(value, key).lower() if isinstance(value, str) else quantity(value, key)


def _value(reading: Case, notation: str) -> str:
    if reading["refraction_d"] is not None:
        return quantity(reading["refraction_d"], "refraction_d")
    sphere, cylinder = reading["sphere_d"], reading["cylinder_d"]
    if sphere is None:
        return ABSENT
    if cylinder is None or reading["axis_deg"] is None:
        return say(
            "{sphere} {cylinder}",
            sphere=quantity(sphere, "sphere_d"), cylinder=quantity(cylinder, "cylinder_d"),
        )
    return refraction_text(in_form(Spherocylinder(sphere, cylinder, reading["axis_deg"]), notation))


def _decisions(case: Case) -> Iterator[str]:
    for row in case["decisions"][-1:]:
        lengths = (row["cut_a_mm"], row["cut_b_mm"])
        cuts = joined(", ", (
            say(
                "{name} {cut}",
                name=name, cut=quantity(cut, "cut_mm"),
            ) for name, cut in zip(haptic_names(case), lengths, strict=True)
        ))
        yield say(
            "Cut: {cuts}; {outside_mm} to the original tips",
            cuts=cuts, outside_mm=quantity(row["outside_mm"], "outside_mm"),
        )
        if row["decided_as"] is not None:
            advised = quantity(row["advised_outside_mm"], "outside_mm")
            own = "" if row["decided_as"] == "advised" else say(
                " (advice: {advised} to the original tips)",
                advised=advised,
            )
            yield f"{word(row['decided_as'], 'decided_as')}{own}"
        elif row["no_useful_adjustment"]:
            yield "Advice: no useful adjustment, centre and flange"
        yield say(
            "Expected: {row}, from {value} readings",
            row=outcome_text(row), value=row["readings_used"] or 0,
        )


def _log(case: Case) -> Iterator[str]:
    for side, name in zip("ab", haptic_names(case), strict=True):
        steps = [_step(entry) for entry in current_log(case) if entry["haptic"] == side]
        yield say(
            "{name}: {value}",
            name=capital(name), value=joined("; ", steps) if steps else "nothing logged",
        )
    departs = expected(case).text
    if departs:
        yield departs


def _step(entry: Case) -> str:
    text = word(entry["haptic_step"], "haptic_step").lower()
    if entry["length_mm"] is None:
        return text
    length = quantity(entry["length_mm"], "length_mm")
    assumed = " (assumed)" if entry["basis"] == "assumed" else ""
    outside = entry["haptic_step"] in _OUTSIDE
    return say(
        "{text}, then {length} outside{assumed}",
        text=text, length=length, assumed=assumed,
    ) if outside else say("{text} {length}{assumed}", text=text, length=length, assumed=assumed)


def _events(case: Case) -> Iterator[str]:
    """What did not go as planned, as far as the record shows it."""
    gone = len(case["readings"]) - len(standing(case, "readings"))
    corrected = sum(entry["corrects"] is not None for entry in case["haptic_log"])
    for count, what in (
        (gone, "readings withdrawn"),
        (corrected, "log entries corrected"),
        (len(case["decisions"]) - 1, "earlier decisions replaced"),
    ):
        if count > 0:
            yield say("{what}: {count}", what=capital(what), count=count)
