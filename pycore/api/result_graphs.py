"""The standard graphs of the results: data, captions and nothing drawn.

Every graph has ``name``, ``title``, ``n``, a ``caption`` with number of eyes, follow-up time and
exclusions, and its own data; ``missing`` says what is wanting where there are too few eyes to draw it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass
from typing import Any, Final

from pycore.api.result_figures import MOMENTS, days_value
from pycore.api.result_items import Sorted, person_of
from pycore.api.result_rows import Row
from pycore.api.result_series import both, series
from pycore.audit import bins
from pycore.audit.bins import Counted
from pycore.audit.double_angle import double_angle, place
from pycore.audit.scatter import points, regression
from pycore.audit.stability import stability
from pycore.records.schedule import FIRST_COUNTING_DAY, slot_of
from pycore.words import counted, joined, say

#: Shares of fewer eyes are drawn, with this said beside them (common practice, no source).
FEW: Final = 10
#: Reference lines of the attempted against achieved graph, D from equality.
BANDS_D: Final = (-1.0, -0.5, 0.0, 0.5, 1.0)
#: Days whose planned visits the stability graph may show, one for each.
_SLOT_DAYS: Final = (1, 7, 30, 91, 182, 365)

Data = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Graph:
    """How one graph is made: the rows it rests on, and its data from them."""

    title: str
    rows: Callable[[Sorted], Sequence[Row]]
    data: Callable[[Sequence[Row]], Data | None]
    least: int
    wants: str
    acuity: bool = False


def graphs_value(found: Sorted) -> list[Data]:
    """All graphs in the order they are shown."""
    return [_graph(name, graph, found) for name, graph in GRAPHS.items()]


def _graph(name: str, graph: Graph, found: Sorted) -> Data:
    rows = graph.rows(found)
    data = graph.data(rows) if len(rows) >= graph.least else None
    return {
        "name": name,
        "title": graph.title,
        "n": len(rows),
        "few": len(rows) < FEW,
        "caption": _caption(rows, found, acuity=graph.acuity),
        "missing": None if data else _missing(graph, len(rows)),
        "data": data,
    }


def _missing(graph: Graph, count: int) -> str:
    have = "none has them yet" if not count else say("{count} so far", count=_eyes(count))
    return say(
        "Needs {least} or more with {wants}; {have}.",
        least=_eyes(graph.least), wants=graph.wants, have=have,
    )


def _caption(rows: Sequence[Row], found: Sorted, *, acuity: bool) -> str:
    """``40 eyes of 36 persons; median day 35 (28 to 90) after surgery; 3 excluded ...``."""
    persons = len(set(map(person_of, rows)))
    days = days_value(rows, "acuity_days" if acuity else "days")
    when = "" if days is None else (
        say(
            " Median day {median} after surgery (day {low} to {high}).",
            median=f"{days['median']:g}", low=f"{days['low']:g}", high=f"{days['high']:g}",
        )
    )
    return say(
        "{eyes} of {persons}.{when} {found}",
        eyes=_eyes(len(rows)), persons=_persons(persons), when=when, found=_excluded(found, acuity=acuity),
    )


def _excluded(found: Sorted, *, acuity: bool) -> str:
    """Acuity graphs leave out nothing but what was left out by hand."""
    parts = [(len(found.by_hand), "by hand")]
    if not acuity:
        parts = [(len(found.by_rule), "by rule"), *parts, (len(found.other_eyes), "as the other eye")]
    listed = [say("{count} {how}", count=count, how=how) for count, how in parts if count]
    return say("Excluded: {listed}.", listed=joined(", ", listed)) if listed else "No eye excluded."


def _eyes(count: int) -> str:
    return counted(count, "1 eye", "{number} eyes")


def _persons(count: int) -> str:
    return counted(count, "1 person", "{number} persons")


def _bars(counted: Sequence[Counted]) -> list[Data]:
    return [asdict(one) for one in counted]


def _error_histogram(rows: Sequence[Row]) -> Data:
    return {"bars": _bars(bins.count_errors(series(rows, "target").errors_d))}


def _cumulative_errors(rows: Sequence[Row]) -> Data:
    """One line for each moment, on the eyes that have all three."""
    return {"lines": [
        {"name": name, "label": label, "points": _bars(bins.count_within(series(rows, name).errors_d))}
        for name, (label, _) in MOMENTS.items()
    ]}


def _attempted(rows: Sequence[Row]) -> Data:
    x, y = [row["planned_d"] for row in rows], [row["achieved_d"] for row in rows]
    line = regression(x, y)
    ends = (min(*x, *y), max(*x, *y)) if len(x) > 1 else (x[0], y[0])
    return {
        "points": [asdict(one) for one in points(x, y)],
        "line": None if line is None else {
            **asdict(line),
            "ends": [{"x_d": end, "y_d": line.intercept_d + line.slope * end} for end in (min(x), max(x))],
        },
        "bands": [{"offset_d": offset, "ends": [{"x_d": end, "y_d": end + offset} for end in ends]}
                  for offset in BANDS_D],
    }


def _acuity(rows: Sequence[Row]) -> Data | None:
    """Corrected and uncorrected acuity, each on the eyes that have it."""
    lines = []
    for kind, label in (("udva", "Uncorrected"), ("cdva", "Corrected")):
        values = [row["acuity"][kind] for row in rows if kind in row["acuity"]]
        if values:
            lines.append({"name": kind, "label": say(
                "{label} ({eyes})",
                label=label, eyes=_eyes(len(values)),
            ),
                          "points": _bars(bins.count_acuity(values))})
    return {"lines": lines} if lines else None


def _acuity_lines(rows: Sequence[Row]) -> Data:
    apart = [row["acuity"]["udva"] - row["acuity"]["cdva"] for row in rows]
    return {"bars": _bars(bins.count_lines(apart))}


def _cylinders(rows: Sequence[Row]) -> Data:
    return {"bars": _bars(bins.count_cylinders([row["cylinder_d"] for row in rows]))}


def _double_angle(rows: Sequence[Row]) -> Data | None:
    found = double_angle([place(row["cylinder_d"], row["axis_deg"]) for row in rows],
                         list(map(person_of, rows)))
    if found is None:
        return None
    edge = [one for ellipse in (found.of_eyes, found.of_centroid) if ellipse for one in ellipse.outline]
    reach = max(abs(part) for x_y in [*edge, *((one.x_d, one.y_d) for one in found.points)] for part in x_y)
    return {**asdict(found), "extent_d": max(math.ceil(reach), 1)}


def _stability(rows: Sequence[Row]) -> Data | None:
    labels = [slot.label for day in _SLOT_DAYS if (slot := slot_of(day)) is not None]
    visits = stability(labels, [(person_of(row), dict(row["visits"])) for row in rows])
    return {"visits": [asdict(visit) for visit in visits]} if len(visits) > 1 else None


def _with_target(found: Sorted) -> Sequence[Row]:
    return both(found.counted, "target")


def _with_plan(found: Sorted) -> Sequence[Row]:
    return both(found.counted, "planned")


def _with_all_moments(found: Sorted) -> Sequence[Row]:
    return both(found.counted, *MOMENTS)


def _with_cylinder(found: Sorted) -> Sequence[Row]:
    return [row for row in found.counted if row["cylinder_d"] is not None and row["axis_deg"] is not None]


def _with_both_acuities(found: Sorted) -> Sequence[Row]:
    return [row for row in found.seen
            if all(row["acuity"].get(kind) is not None for kind in ("udva", "cdva"))]


def _with_visits(found: Sorted) -> Sequence[Row]:
    return [row for row in found.counted if row["visits"]]


_REFRACTION: Final = say("a refraction from day {first_counting_day}", first_counting_day=FIRST_COUNTING_DAY)

GRAPHS: Final[dict[str, Graph]] = {
    "error_histogram": Graph("Refraction from target", _with_target, _error_histogram, 1,
                             say("a target and {refraction}", refraction=_REFRACTION)),
    "cumulative_errors": Graph("Within a distance, at three moments", _with_all_moments,
                               _cumulative_errors, 1, say(
                                   "a plan, a decision, a target and {refraction}",
                                   refraction=_REFRACTION,
                               )),
    "attempted_achieved": Graph("Planned against achieved refraction", _with_plan, _attempted, 2,
                                say(
                                    "a plan for the lens implanted and {refraction}",
                                    refraction=_REFRACTION,
                                )),
    "acuity": Graph("Acuity reached", lambda found: found.seen, _acuity, 1,
                    say(
                        "an acuity from day {first_counting_day}",
                        first_counting_day=FIRST_COUNTING_DAY,
                    ), acuity=True),
    "acuity_lines": Graph("Uncorrected against corrected acuity", _with_both_acuities, _acuity_lines, 1,
                          say(
                              "both acuities from day {first_counting_day}",
                              first_counting_day=FIRST_COUNTING_DAY,
                          ), acuity=True),
    "stability": Graph("Stability", _with_visits, _stability, 2, "refractions at two visits"),
    "cylinder": Graph("Refractive cylinder", _with_cylinder, _cylinders, 1, _REFRACTION),
    "double_angle": Graph("Cylinder and axis, double angle", _with_cylinder, _double_angle, 1, _REFRACTION),
}
