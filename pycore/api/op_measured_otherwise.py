"""``measured_otherwise``: one measurement taken in another way, converted and offered for the case.

Nothing is changed here. The answer's ``patch`` holds the converted values and where they came from;
whoever accepts it stores both together (``measurements`` of the record). Tests:
``tests/unit/test_measured_otherwise.py``.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

from pycore.api import op_measurements
from pycore.api.case_numbers import DEFAULT_FORMULA, sound_case
from pycore.api.operation import Answer, Operation
from pycore.api.schema import Notes, mapping, optional, record, required, text
from pycore.api.wording import fixed, quantity, word
from pycore.errors import MissingField
from pycore.words import joined, say

Request = dict[str, Any]

_GIVEN: Final = (
    optional("axial_length_mm"), optional("axial_method"), optional("velocity_m_s"), optional("lens_state"),
    optional("lens_material"), optional("lens_thickness_mm"), optional("k1_d"), optional("k2_d"),
    optional("keratometer_index"), optional("laser_for"), optional("chamber_depth_mm"),
    optional("corneal_thickness_um"),
)  # fmt: skip
ITEMS: Final = (
    required("case", mapping, about="The stored record the value is for."),
    required("otherwise", about="What was measured otherwise."),
    optional("fellow", mapping, about="The stored record of the other eye, to stand in."),
    optional("at", text, about="When it is accepted, UTC."),
    *_GIVEN,
)
_READER: Final = record(*op_measurements.ITEMS)


def run(request: Request, notes: Notes) -> Answer:
    """The converted value, each step with its source, and the patch to accept."""
    case = sound_case(request["case"])
    asked = _ASKED[request["otherwise"]](case, request)
    found = op_measurements.run(_READER(asked, "", Notes()), notes).value
    notes.warnings[:] = [one for one in notes.warnings if one["code"] in _CONCERNS[request["otherwise"]]]
    group = _GROUP[request["otherwise"]]
    steps = [step for step in found["steps"] if _STEP_GROUP.get(step["name"], "cornea") == group]
    patch, sentence = _PATCH[group](found, steps, request)
    value = {
        "sentence": sentence,
        "steps": [{"text": step["text"], "source": step["source"], "confidence": step["confidence"]}
                  for step in steps],
        "patch": patch,
    }
    return Answer(value, {"sources": sorted({step["source"] for step in steps})})


#: A conversion of the cornea or of a depth does not look at the length, which must be there.
_ANY_LENGTH: Final = {"axial_length_mm": 23.5, "axial_method": "optical"}


def _need(request: Request, *keys: str) -> Request:
    """The given values, none of them missing."""
    for key in keys:
        if request[key] is None:
            raise MissingField(say("{key} is missing. Enter it to convert.", key=key), field=key)
    return {key: request[key] for key in keys}


def _velocity(case: Request, request: Request) -> Request:
    given = _need(request, "axial_length_mm", "axial_method", "velocity_m_s", "lens_state")
    return {**given, "lens_material": request["lens_material"],
            "lens_thickness_mm": request["lens_thickness_mm"]}


def _index(case: Request, request: Request) -> Request:
    return {**_need(request, "k1_d", "k2_d", "keratometer_index"), **_cornea_history(case), **_ANY_LENGTH}


def _total(case: Request, request: Request) -> Request:
    return {**_need(request, "k1_d", "k2_d"), "power_kind": "total", **_cornea_history(case), **_ANY_LENGTH}


def _laser(case: Request, request: Request) -> Request:
    return {**_need(request, "laser_for"), **_powers(case), **_cornea_history(case),
            "cornea": "refractive_surgery", **_ANY_LENGTH}


def _powers(case: Request) -> Request:
    """The cornea as entered: powers or radii."""
    measured = case["measurements"]
    names = ("r1_mm", "r2_mm") if measured["k_unit"] == "mm" else ("k1_d", "k2_d")
    return {name: measured[name] for name in names}


def _cornea_history(case: Request) -> Request:
    return {"keratometry_method": case["measurements"]["keratometry_method"],
            "cornea": case["history"]["cornea"]}


def _no_length(case: Request, request: Request) -> Request:
    lens = case["lens"]
    constants = {name: lens[name] for name in ("a", "pacd_mm", "surgeon_factor_mm", "a0", "a1", "a2")}
    return {**_powers(case), "constants": constants, "formula": case["plan"]["formula"] or DEFAULT_FORMULA,
            "fellow": _fellow(request, "axial_length_mm")}


def _no_cornea(case: Request, request: Request) -> Request:
    measured = case["measurements"]
    if measured["axial_length_mm"] is None:
        raise MissingField("Enter the axial length first: the cornea is estimated from it.",
                           field="measurements.axial_length_mm")
    return {"axial_length_mm": measured["axial_length_mm"], "axial_method": "optical",
            "fellow": _fellow(request, "k1_d", "k2_d", "r1_mm", "r2_mm")}


def _fellow(request: Request, *keys: str) -> Request | None:
    """What was measured in the other eye; radii only when it was entered in mm."""
    if request["fellow"] is None:
        return None
    measured = sound_case(request["fellow"])["measurements"]
    unused = ("k1_d", "k2_d") if measured["k_unit"] == "mm" else ("r1_mm", "r2_mm")
    return {key: measured[key] for key in keys if key not in unused}


def _depth(case: Request, request: Request) -> Request:
    return {**_need(request, "chamber_depth_mm"), "depth_from": "endothelium",
            "corneal_thickness_um": request["corneal_thickness_um"], **_ANY_LENGTH}


_ASKED: Final[dict[str, Callable[[Request, Request], Request]]] = {
    "velocity": _velocity, "index": _index, "total": _total, "laser": _laser,
    "no_length": _no_length, "no_cornea": _no_cornea, "depth": _depth,
}
_GROUP: Final = {
    "velocity": "axial", "no_length": "axial", "index": "cornea", "total": "cornea", "laser": "cornea",
    "no_cornea": "cornea", "depth": "depth",
}
#: The rest of the eye stands empty in a conversion, and what is said about that is not meant.
_CONCERNS: Final = {
    "velocity": ("oil_in_beam",), "no_length": ("length_estimated",), "index": (), "total": (),
    "laser": ("after_laser", "laser_unknown"), "no_cornea": ("cornea_estimated",),
    "depth": ("thickness_assumed",),
}


#: Which of the three a step of ``measurements`` is about; any other is about the cornea.
_STEP_GROUP: Final = {"velocity": "axial", "length_estimated": "axial", "chamber_depth": "depth"}


#: Converted values are stored as finely as instruments show them.
_DECIMALS: Final = 2


def _axial_patch(found: Request, steps: list[Request], request: Request) -> tuple[Request, str]:
    length = round(found["axial_length_mm"], _DECIMALS)
    origin = _origin({"axial_length_mm": length}, found["belief"]["axial_length_mm"], steps, request)
    patch = {"axial_length_mm": length, "axial_origin": origin}
    if request["axial_method"] is not None:
        patch["axial_method"] = request["axial_method"]
    return patch, say(
        "Axial length {length}{origin}",
        length=quantity(length, "axial_length_mm"), origin=_spread(origin, "mm"),
    )


def _cornea_patch(found: Request, steps: list[Request], request: Request) -> tuple[Request, str]:
    powers = {name: round(found[name], _DECIMALS) for name in ("k1_d", "k2_d")}
    origin = _origin(powers, found["belief"]["corneal_power_d"], steps, request)
    words = joined(" and ", (quantity(power, "k1_d") for power in powers.values()))
    return {**powers, "k_unit": "d", "cornea_origin": origin}, say(
        "K {words}{origin}",
        words=words, origin=_spread(origin, "D"),
    )


def _depth_patch(found: Request, steps: list[Request], request: Request) -> tuple[Request, str]:
    depth = round(found["phakic_acd_mm"], _DECIMALS)
    origin = _origin({"phakic_acd_mm": depth}, {"mean": None, "sd": None}, steps, request)
    patch = {"phakic_acd_mm": depth, "depth_origin": origin}
    return patch, say("Chamber depth {depth} from the epithelium", depth=quantity(depth, "phakic_acd_mm"))


_PATCH: Final = {"axial": _axial_patch, "cornea": _cornea_patch, "depth": _depth_patch}


def _origin(
    values: Request, belief: Request, steps: list[Request], request: Request
) -> Request:
    texts = joined(" ", dict.fromkeys(step["text"] for step in steps))
    made_from = texts if request["otherwise"].startswith("no_") else say(
        "{request}. {texts}",
        request=_words(request), texts=texts,
    )
    return {
        **values,
        "off_mean": belief["mean"],
        "off_sd": belief["sd"],
        "origin": made_from[:200].rstrip(),
        "origin_source": joined("; ", dict.fromkeys(step["source"] for step in steps))[:200] or None,
        "at": request["at"],
    }


def _spread(origin: Request, unit: str) -> str:
    """How sure it is, and what it is expected to be off by where that is known."""
    shift = say(
        "; the plan adds {off_mean} {unit}",
        off_mean=fixed(origin["off_mean"], _DECIMALS, signed=True), unit=unit,
    )
    return say(
        "{value}, SD {off_sd} {unit}",
        value=shift if abs(origin["off_mean"]) >= 0.005 else "", off_sd=f"{origin['off_sd']:.2f}",
        unit=unit,
    )


def _words(request: Request) -> str:
    """What was asked, with the value as shown where one was given."""
    shown = request["axial_length_mm"]
    asked = word(request["otherwise"], "otherwise")
    return asked if shown is None else say(
        "{asked}, shown as {shown}",
        asked=asked, shown=quantity(shown, "axial_length_mm"),
    )


OPERATION = Operation(
    "measured_otherwise", "One measurement taken in another way, converted and offered for the case.",
    ITEMS, run,
)
