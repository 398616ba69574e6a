"""``microscope_case``: the plan of one stored eye as the surgeon sees it from the seat."""

from __future__ import annotations

from typing import Any, Final

from pycore.api.case_numbers import both_sides, sound_case
from pycore.api.operation import Answer, Operation
from pycore.api.schema import Notes, mapping, required
from pycore.api.wording import quantity, word
from pycore.belief.eye import REFERENCE_ENTRY_MM, REFERENCE_TUNNEL_MM
from pycore.fixation.clock import clock_hours, spoken
from pycore.fixation.entries import Caution, meridian_cautions
from pycore.fixation.limbus import Limbus
from pycore.fixation.microscope import (
    Mark,
    MicroscopeView,
    Point,
    mark_cautions,
    microscope_view,
    seat_deg,
)
from pycore.records.case import standing
from pycore.words import say

#: Drawn, and said to be, when the diameters were not entered: horizontal of the reference eye of
#: Holladay JT et al., J Cataract Refract Surg 2003;29:176-197, rounded; vertical 1 mm less (our
#: assumption, for drawing only).
USUAL_LIMBUS: Final = Limbus(11.8, 10.8)

#: Needed before anything can be drawn.
_NEEDED: Final = (
    ("eye", "Choose the eye."),
    ("meridian_deg", "Enter the fixation meridian."),
    ("seat", "Choose where the surgeon sits."),
)


def run(request: dict[str, Any], notes: Notes) -> Answer:
    case = sound_case(request["case"])
    rows = [row for row in standing(case, "marks") if row["mark"] and row["at_clock"]]
    marks = [Mark(row["mark"], word(row["mark"], "mark"), row["at_clock"]) for row in rows]
    missing = _missing(case)
    drawn = None if missing else _drawn(case, marks)
    return Answer({
        "missing": missing,
        "drawing": None if drawn is None else _drawing_value(case, drawn),
        "marks": [_mark_value(row, mark, None if drawn is None else drawn.marks[place])
                  for place, (row, mark) in enumerate(zip(rows, marks, strict=True))],
        "cautions": [{"code": found.code, "message": found.message} for found in _cautions(case, marks)],
    })  # fmt: skip


def _missing(case: dict[str, Any]) -> list[dict[str, str]]:
    found = {"eye": case["eye"], **case["plan"]}
    return [
        {"path": key if key == "eye" else f"plan.{key}", "message": message}
        for key, message in _NEEDED
        if found[key] is None
    ]


def _drawn(case: dict[str, Any], marks: list[Mark]) -> MicroscopeView:
    plan = case["plan"]
    return microscope_view(
        _limbus(case) or USUAL_LIMBUS,
        meridian_deg=plan["meridian_deg"],
        entry_mm=both_sides(plan, "entry", REFERENCE_ENTRY_MM),
        tunnel_mm=both_sides(plan, "tunnel", REFERENCE_TUNNEL_MM),
        marks=marks,
        seat_deg=seat_deg(plan["seat"], case["eye"]),
    )


def _limbus(case: dict[str, Any]) -> Limbus | None:
    across, up = (case["measurements"][f"limbus_{way}_mm"] for way in ("horizontal", "vertical"))
    return None if across is None or up is None else Limbus(across, up)


def _drawing_value(case: dict[str, Any], drawn: MicroscopeView) -> dict[str, Any]:
    clocks = clock_hours(case["plan"]["meridian_deg"] % 180.0)
    return {
        "title": say(
            "{eye}, seen from the seat: {seat}",
            eye=word(case["eye"], "eye"), seat=word(case["plan"]["seat"], "seat"),
        ),
        "words": _words(case, clocks),
        "limbus": _points(drawn.limbus),
        "hours": [{"clock": clock, "at": list(at)} for clock, at in drawn.hours],
        "entries": [{"clock": clock, "at": list(at), "tunnel": _points(tunnel)}
                    for clock, at, tunnel in zip(clocks, drawn.entries, drawn.tunnels, strict=True)],
    }  # fmt: skip


def _words(case: dict[str, Any], clocks: tuple[str, str]) -> list[str]:
    """What the drawing shows, for reading aloud and for screen readers."""
    entries = both_sides(case["plan"], "entry", REFERENCE_ENTRY_MM)
    tunnels = both_sides(case["plan"], "tunnel", REFERENCE_TUNNEL_MM)
    lines = [
        say(
            "{clock}: entry {entry}, tunnel {tunnel}.",
            clock=spoken(clock), entry=quantity(entry, "entry_mm"), tunnel=quantity(tunnel, "tunnel_mm"),
        )
        for clock, entry, tunnel in zip(clocks, entries, tunnels, strict=True)
    ]
    if _limbus(case) is None:
        across, up = USUAL_LIMBUS.horizontal_mm, USUAL_LIMBUS.vertical_mm
        lines.append(say(
            "Limbal diameters not entered: drawn with a usual {across} by {up} mm.",
            across=f"{across:g}", up=f"{up:g}",
        ))
    return [*lines, "Tunnels are drawn for their length, not for their direction."]


def _points(points: tuple[Point, ...]) -> list[list[float]]:
    return [list(point) for point in points]


def _mark_value(row: dict[str, Any], mark: Mark, at: Point | None) -> dict[str, Any]:
    """One mark by its stored id, in words and in place."""
    return {
        "id": row["id"],
        "kind": mark.kind,
        "text": say("{label} at {clock}", label=mark.label, clock=spoken(mark.clock)),
        "at": None if at is None else list(at),
    }


def _cautions(case: dict[str, Any], marks: list[Mark]) -> list[Caution]:
    meridian = case["plan"]["meridian_deg"]
    if meridian is None:
        return []
    return [*mark_cautions(meridian, marks), *meridian_cautions(meridian)]


OPERATION = Operation(
    "microscope_case",
    "The planned entries of one stored eye as seen from the surgeon's seat, with what lies around.",
    (required("case", mapping),),
    run,
)
