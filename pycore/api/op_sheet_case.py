"""``sheet_case``: the plan of one stored eye as a page of paper, with a grid for the cut.

The page must serve alone: a phone may be dead or out of reach of a sterile hand. All text
that carries a number is written here; the screen only sets it out.
"""

from __future__ import annotations

from typing import Any, Final

from pycore.api.case_history import HISTORY_ITEMS, start_of, started
from pycore.api.case_numbers import DEFAULT_FORMULA, both_sides, plain_case, sound_case
from pycore.api.op_plan_case import run as plan_of
from pycore.api.op_plan_case import untouched
from pycore.api.operation import Answer, Operation
from pycore.api.reading_items import NAMED_END_MM, NAMED_END_SD_MM
from pycore.api.schema import Notes, choice, mapping, optional, required, whole
from pycore.api.shown_as import cornea_otherwise
from pycore.api.theatre_answers import lever
from pycore.api.wording import quantity, word
from pycore.belief.eye import REFERENCE_ENTRY_MM, REFERENCE_TUNNEL_MM
from pycore.planning.paper_grid import COLUMNS, ROWS, Cell, Ends, PaperGrid, paper_grid
from pycore.planning.titrate import Case
from pycore.words import say

Line = dict[str, str]

#: More would not be legible on a page.
MOST_LINES: Final = 21


def run(request: dict[str, Any], notes: Notes) -> Answer:
    case = sound_case(request["case"])
    planned = plan_of({name: request[name] for name in _PLAN_KEYS}, notes)
    plan = planned.value
    if plan["readback"] is None:
        return Answer({**_NOTHING, "missing": plan["missing"]}, planned.provenance)
    plain = _plain(case, request)
    value = {
        "ready": True,
        "missing": [],
        "sections": [_measured(case), _lens(plan), _haptics(case, plan)],
        "readback": plan["readback"]["lines"],
        "grid": _grid_value(plain, request),
        "cautions": [caution["message"] for caution in plan["cautions"]],
    }
    return Answer(value, planned.provenance)


_PLAN_KEYS: Final = ("case", *(item.key for item in HISTORY_ITEMS))
_NOTHING: Final[dict[str, Any]] = {
    "ready": False, "sections": [], "readback": None, "grid": None, "cautions": [],
}  # fmt: skip


def _plain(case: dict[str, Any], request: dict[str, Any]) -> Case:
    """The eye before anything was done to a haptic, started as the plan is."""
    before, _ = plain_case(untouched(case, case["lens"]["lens_power_d"]), Notes())
    base = case["plan"]["formula"] or DEFAULT_FORMULA
    return started(before, start_of(request, Notes(), formula=base, case=case))


def _line(label: str, value: str) -> Line:
    return {"label": label, "value": value}


def _measured(case: dict[str, Any]) -> dict[str, Any]:
    """What the plan rests on."""
    found = case["measurements"]
    cornea = ("r1_mm", "r2_mm") if found["k_unit"] == "mm" else ("k1_d", "k2_d")
    flat, steep = (quantity(found[name], name) for name in cornea)
    return {"heading": "Measured", "lines": [
        _line("Axial length", quantity(found["axial_length_mm"], "axial_length_mm")),
        _line("By", word(found["axial_method"], "axial_method")),
        _line("Cornea, flat / steep", f"{flat} / {steep}"),
        *_otherwise(cornea_otherwise(found)),
        _line("Chamber depth", quantity(found["phakic_acd_mm"], "phakic_acd_mm")),
    ]}  # fmt: skip


def _otherwise(texts: dict[str, str]) -> list[Line]:
    """The cornea in the other unit."""
    return [_line("", " / ".join(texts.values()))] if texts else []


def _lens(plan: dict[str, Any]) -> dict[str, Any]:
    """What the chosen lens should come to."""
    lens = plan["chosen"]
    ends = [quantity(end["mean_d"], "refraction_d") for end in lens["reach"]]
    low, high = (quantity(lens[name], "refraction_d") for name in ("low80_d", "high80_d"))
    return {"heading": "Expected", "lines": [
        _line("Without titration", quantity(lens["mean_d"], "refraction_d")),
        _line("80 % of such eyes", say("{low} to {high}", low=low, high=high)),
        _line("Reach, nothing cut to drawn out", say("{ends} to {ends2}", ends=ends[0], ends2=ends[1])),
        _line("Within 0.50 D after titration", f"{lens['titrated_within_050']:.0%}".replace("%", " %")),
    ]}  # fmt: skip


def _haptics(case: dict[str, Any], plan: dict[str, Any]) -> dict[str, Any]:
    """Where the sclera is entered and how the haptics end."""
    entries = both_sides(case["plan"], "entry", REFERENCE_ENTRY_MM)
    tunnels = both_sides(case["plan"], "tunnel", REFERENCE_TUNNEL_MM)
    clocks = plan["clocks"]
    lines = [
        _line(
            say("At {clocks} o'clock", clocks=clocks[side]),
            say(
                "entry {entry}, tunnel {tunnel}",
                entry=quantity(entry, "entry_mm"), tunnel=quantity(tunnel, "tunnel_mm"),
            ),
        )
        for side, entry, tunnel in zip(("a", "b"), entries, tunnels, strict=True)
    ]
    return {"heading": "Haptics", "lines": lines}


def _grid_value(plain: Case, request: dict[str, Any]) -> dict[str, Any]:
    """The grid in words, and how to use it."""
    instrument = request["instrument"]
    ends = Ends(
        drawn_out_mm=plain.plan.drawn_out_mm,
        pushed_in_mm=NAMED_END_MM["pushed_in"],
        length_sd_mm=NAMED_END_SD_MM,
        instrument=instrument,
        noise_sd_d=plain.calibration.noise_sd_d[instrument],
    )
    grid = paper_grid(plain, ends, rows=request["rows"], columns=request["columns"])
    return {
        "instrument": word(instrument, "instrument"),
        "columns": [quantity(value, "refraction_d") for value in grid.pushed_in_d],
        "rows": _rows(grid),
        "how": _how(plain, ends),
        "lever": lever(plain.eye.lens_power_d),
    }


def _rows(grid: PaperGrid) -> list[dict[str, Any]]:
    return [
        {"reading": quantity(value, "refraction_d"), "cells": [_cell_value(cell) for cell in cells]}
        for value, cells in zip(grid.drawn_out_d, grid.cells, strict=True)
    ]


_MARKS: Final = {"none": "0", "far": "far", "read_again": "?"}


def _cell_value(cell: Cell) -> dict[str, str]:
    text = _MARKS.get(cell.status) or f"{cell.cut_mm:.1f}"
    return {"status": cell.status, "text": text}


def _how(plain: Case, ends: Ends) -> list[str]:
    """Steps in order; each stands alone on its line."""
    plan = plain.plan
    return [
        (say(
            "Read once with both haptics drawn out to the first resistance ({drawn_out_mm} outside) and "
            "once pushed in ({pushed_in_mm} outside), nothing cut or melted yet. Use the nearest row and "
            "column.",
            drawn_out_mm=quantity(ends.drawn_out_mm, "outside_mm"),
            pushed_in_mm=quantity(ends.pushed_in_mm, "outside_mm"),
        )),
        (say(
            "A number: centre the optic on the reflex, then cut so many millimetres from each haptic, "
            "melt {melt_mm} and bury {bury_mm}.",
            melt_mm=quantity(plan.melt_mm, "melt_mm"), bury_mm=quantity(plan.bury_mm, "bury_mm"),
        )),
        ("If one haptic is longer outside once centred, cut half the difference more from it and half "
        "the difference less from the other."),
        "0: no useful adjustment. Centre and flange with nothing cut.",
        "far: the target is beyond what the haptics can reach. Do not chase it with a cut.",
        "?: the two readings do not fit this eye. Check it and read both again; if still ?, cut nothing.",
        "Only for the lens, the eye and the plan on this page. If anything changed, the grid is void.",
    ]


OPERATION = Operation(
    "sheet_case",
    "The plan of one stored eye for paper: inputs, read-back, and a grid of two readings to the cut.",
    (
        required("case", mapping),
        optional("instrument", choice("instrument"), default="aberrometer",
                 about="What both readings of the grid are taken with."),
        optional("rows", whole(1, MOST_LINES), default=ROWS, about="Readings drawn out, 0.25 D apart."),
        optional("columns", whole(1, MOST_LINES), default=COLUMNS, about="Readings pushed in, 0.25 D apart."),
        *HISTORY_ITEMS,
    ),
    run,
)
