"""``theatre_case``: readings, advice, chart and read-back for one stored eye."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

from pycore.api.box_items import BOX_ITEM, BOX_TODAY_ITEM, fill_of
from pycore.api.case_history import HISTORY_ITEMS, history_value, moved_advice, start_of, started
from pycore.api.case_numbers import (
    DEFAULT_FORMULA,
    haptics_now,
    note_drawn_out,
    plain_case,
    reading_request,
    reading_requests,
    sound_case,
)
from pycore.api.operation import Answer, Operation
from pycore.api.other_options import lenses_at_hand
from pycore.api.plan_answers import clocks_value, fingerprint
from pycore.api.pose_note import note_pose
from pycore.api.reading_items import READING, REFUSED_FILL, original_lengths_mm, reading_equivalent_d
from pycore.api.reading_places import listed, listed_places
from pycore.api.schema import Notes, mapping, required
from pycore.api.theatre_answers import (
    chart_value,
    cut_lines,
    length_value,
    lever,
    next_message,
    sentence,
)
from pycore.api.theatre_decision import (
    CUT_ITEM,
    decided_option,
    decision_value,
    log_gate,
    own_text,
    way_of,
)
from pycore.api.theatre_rules_out import plan_alone_value, rules_out
from pycore.api.titration_answer import titration_answer
from pycore.api.titration_items import next_value
from pycore.belief.eye import EyeModel
from pycore.errors import GuylineError
from pycore.fixation.haptic_log import HapticNow, haptic_state, measured_together
from pycore.planning.titrate import Case, Titration
from pycore.words import say

_CENTRE_FIRST: Final = (
    "centre_first",
    "Centre the optic on the reflex and measure both haptics from the sclera to the tip before cutting.",
)


def run(request: dict[str, Any], notes: Notes) -> Answer:
    case = sound_case(request["case"])
    now = haptics_now(case)
    frame = _frame(case, now)
    blocked = _blocked(case)
    if blocked:
        return Answer({**frame, **_NO_ADVICE, "blocked": blocked})
    return _advised(case, now, frame, request, notes)


_NO_ADVICE: Final[dict[str, Any]] = {
    "advice": None,
    "next_reading": None,
    "chart": None,
    "flange": None,
    "neighbours": [],
    "sentence": None,
    "readback": None,
    "decision": None,
    "own_cut": None,
    "history": None,
    "rules_out": [],
    "plan_alone": None,
}


def _frame(case: dict[str, Any], now: tuple[HapticNow, HapticNow]) -> dict[str, Any]:
    """What is known without any prediction."""
    return {
        "haptic_state": haptic_state(*now),
        "clocks": clocks_value(case),
        "lengths": {"a": length_value(now[0]), "b": length_value(now[1])},
        "readings": [_reading_value(entry) for entry in case["readings"]],
        "lever": lever(case["lens"]["lens_power_d"]),
        "cautions": [],
        "blocked": None,
        "log_gate": log_gate(case),
    }


def _reading_value(entry: dict[str, Any]) -> dict[str, Any]:
    """One reading on the chart; ``why_not`` when it is not used."""
    why_not = _why_not(entry)
    value = {"id": entry["id"], "used": why_not is None, "why_not": why_not, "gross": None}
    if why_not is not None:
        return {**value, "outside_mm": None, "refraction_d": None, "placement": entry["placement"]}
    read = READING(reading_request(entry), "reading", Notes())
    lengths = original_lengths_mm(read, "reading")
    return {
        **value,
        "outside_mm": (lengths[0] + lengths[1]) / 2,
        "refraction_d": reading_equivalent_d(read, "reading"),
        "placement": entry["placement"],
    }


def _why_not(entry: dict[str, Any]) -> str | None:
    if entry["withdrawn"] is not None:
        return say("Withdrawn: {value}", value=entry["withdrawn"].get("reason") or "no reason given")
    if entry["fill"] in REFUSED_FILL:
        return say("Not used: {refused_fill}.", refused_fill=REFUSED_FILL[entry["fill"]])
    return _unreadable(entry)


def _unreadable(entry: dict[str, Any]) -> str | None:
    """Why a stored reading cannot be read as one, or ``None``."""
    try:
        read = READING(reading_request(entry), "reading", Notes())
        original_lengths_mm(read, "reading")
        reading_equivalent_d(read, "reading")
    except GuylineError as error:
        return say("Not used: {message}", message=error.message)
    return None


def _blocked(case: dict[str, Any]) -> dict[str, str] | None:
    """No advice before the plan as it stands was read back."""
    current = fingerprint(case)
    plans = [entry for entry in case["readbacks"] if entry["kind"] == "plan"]
    if any((entry["values"] or {}).get("fingerprint") == current for entry in plans):
        return None
    if plans:
        return {
            "code": "plan_changed",
            "reason": say("The plan changed since it was read back. Read it back again."),
        }
    return {"code": "not_read_back", "reason": say("Read back eye and lens with a second person first.")}


def _advised(
    case: dict[str, Any],
    now: tuple[HapticNow, HapticNow],
    frame: dict[str, Any],
    request: dict[str, Any],
    notes: Notes,
) -> Answer:
    cautions = Notes()
    places = [place for place, entry in enumerate(case["readings"]) if _why_not(entry) is None]
    used = [case["readings"][place] for place in places]
    with listed_places(places):
        before, provenance = plain_case(
            case, cautions, readings=reading_requests({**case, "readings": used})
        )
    base = case["plan"]["formula"] or DEFAULT_FORMULA
    start = start_of(request, notes, formula=base, case=case)
    plain = started(before, start)
    note_drawn_out(case, cautions)
    note_pose(case, now, cautions)
    at_hand = lenses_at_hand(
        request["box"], case["lens"], _eye_with(case), formula=base, today=request["today"]
    )
    titration, advice = titration_answer(plain, used, cautions, at_hand=at_hand, start=start)
    if not titration.advice.no_useful_adjustment and not _placed(now):
        cautions.warn(*_CENTRE_FIRST, field="haptic_log")
    option = decided_option(plain, titration, request["cut_mm"], cautions)
    if advice["without_doubtful"]:
        advice["without_doubtful"]["reading"] = used[advice["without_doubtful"]["reading"]]["id"]
    value = {
        **frame,
        "readings": _with_gross(frame["readings"], used, titration),
        "advice": advice,
        "next_reading": {**next_value(titration.next), "message": next_message(titration.next)},
        "chart": chart_value(plain, titration),
        "flange": {"melt_mm": plain.plan.melt_mm, "bury_mm": plain.plan.bury_mm},
        "neighbours": _neighbours(plain, advice, titration),
        "sentence": sentence(plain, titration, frame["clocks"]),
        "readback": {
            "lines": cut_lines(case, plain.plan, titration, option, now, frame["clocks"]),
            "fingerprint": fingerprint(case),
        },
        "decision": decision_value(plain, titration, option, readings=len(used)),
        "own_cut": own_text(plain, titration, option),
        "rules_out": rules_out(plain, option),
        "plan_alone": plan_alone_value(titration, len(used)),
        "cautions": [listed(warning, places) for warning in cautions.warnings],
        "history": history_value(start, before, plain, moved_advice(before, plain, titration)),
    }
    return Answer(value, provenance)


def _eye_with(case: dict[str, Any]) -> Callable[[dict[str, Any]], EyeModel]:
    """This eye with a lens of the box in place of its own."""

    def make(row: dict[str, Any]) -> EyeModel:
        lens = {**case["lens"], **fill_of(row)}
        return plain_case({**case, "lens": lens, "haptic_log": []}, Notes())[0].eye

    return make


def _placed(now: tuple[HapticNow, HapticNow]) -> bool:
    """Whether both haptics were measured, and measured together."""
    return all(haptic.measured for haptic in now) and measured_together(*now)


def _neighbours(plain: Case, advice: dict[str, Any], titration: Titration) -> list[dict[str, Any]]:
    """Each with what it changes against the advice."""
    advised = titration.advice.option
    return [
        {
            **value,
            "advised": value["outside_mm"] == advice["outside_mm"],
            "way": way_of(option, advised, lens_power_d=plain.eye.lens_power_d),
        }
        for value, option in zip(advice["neighbours"], titration.advice.neighbours, strict=True)
    ]


def _with_gross(
    shown: list[dict[str, Any]], used: list[dict[str, Any]], titration: Titration
) -> list[dict[str, Any]]:
    chances = {
        entry["id"]: chance for entry, chance in zip(used, titration.after.gross, strict=True)
    }
    return [{**reading, "gross": chances.get(reading["id"])} for reading in shown]


OPERATION = Operation(
    "theatre_case",
    "The titration of one stored eye: readings, advice, chart, read-back of the cut.",
    (required("case", mapping), CUT_ITEM, *HISTORY_ITEMS, BOX_ITEM, BOX_TODAY_ITEM),
    run,
)
