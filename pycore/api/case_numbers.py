"""From a stored case to the plain request that ``advise`` and the plan read.

A case goes through the very readers that check a command-line request, so a limit or a
rule cannot differ between the two; errors come back with the case's own paths.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, Final

from pycore.api.case_aphakic import usable_aphakic
from pycore.api.schema import Notes, record
from pycore.api.titration_request import ITEMS, read_case
from pycore.belief.eye import REFERENCE_ENTRY_MM, REFERENCE_TUNNEL_MM
from pycore.errors import GuylineError, MissingField, RecordError
from pycore.fixation.haptic_log import USUAL_BURY_MM, HapticNow, Step, haptic_state, measured_together, replay
from pycore.planning.titrate import Case
from pycore.records.case import log_rows, standing
from pycore.records.haptic_entries import with_corrected_removals
from pycore.records.migrate import current_form
from pycore.records.origins import belief_of_origins, standing_origin
from pycore.records.shape import examine
from pycore.words import say

SIDES: Final = ("a", "b")
DEFAULT_FORMULA: Final = "holladay1"
#: Used until the haptics have been drawn out and measured; said on screen.
DEFAULT_DRAWN_OUT_MM: Final = 2.5

_MEASUREMENTS: Final = ("axial_length_mm", "axial_method", "phakic_acd_mm")
_CONSTANTS: Final = ("a", "pacd_mm", "surgeon_factor_mm", "a0", "a1", "a2")
_READING: Final = (
    "length_basis", "placement", "refraction_d", "sphere_d", "cylinder_d", "axis_deg",
    "meridian_1_d", "meridian_2_d", "vertex_mm", "working_distance_m",
    "instrument", "iop_mmhg", "infusion", "fill", "iridectomy_done",
)  # fmt: skip

#: Steps without whose length nobody knows what is left of a haptic.
_REMOVES: Final = ("cut", "melt")

#: Where a request's field stands in the case, by the start of its path.
_PATHS: Final = {
    "constants.": "lens.",
    "haptic.": "plan.",
    "lens_power_d": "lens.lens_power_d",
    "target_d": "plan.target_d",
    "formula": "plan.formula",
    "entry_mm[0]": "plan.entry_a_mm",
    "entry_mm[1]": "plan.entry_b_mm",
    "tunnel_mm[0]": "plan.tunnel_a_mm",
    "tunnel_mm[1]": "plan.tunnel_b_mm",
    "keratometry_method": "measurements.keratometry_method",
    "cornea": "history.cornea",
    "axial_": "measurements.axial_",
    "phakic_": "measurements.phakic_",
    "k1_d": "measurements.k1_d",
    "k2_d": "measurements.k2_d",
    "r1_mm": "measurements.r1_mm",
    "r2_mm": "measurements.r2_mm",
}


def case_path(field: str | None) -> str | None:
    """The case's own path for a request field."""
    if field is None:
        return None
    found = next((start for start in _PATHS if field.startswith(start)), None)
    return field if found is None else _PATHS[found] + field[len(found) :]


@contextmanager
def case_paths() -> Iterator[None]:
    """Give errors raised inside the paths of the case."""
    try:
        yield
    except GuylineError as error:
        error.field = case_path(error.field)
        raise


def note_with_case_paths(inner: Notes, outer: Notes) -> None:
    """Hand warnings on, with the case's paths, each only once."""
    for warning in inner.warnings:
        moved = {**warning, "field": case_path(warning["field"])}
        if moved not in outer.warnings:
            outer.warnings.append(moved)


def sound_case(document: object) -> dict[str, Any]:
    """A stored case of the current schema whose every value can be.

    Raises :class:`RecordError` naming the first value that cannot: nothing is predicted
    from a record with a faulty value left out. What a reading says was removed before it follows
    a log that was corrected since.
    """
    examined = examine(current_form(document))
    fault = next((found for found in examined.findings if found.severity == "impossible"), None)
    if fault is not None:
        raise RecordError(say("{message} Correct it first.", message=fault.message), field=fault.path or None)
    return with_corrected_removals(examined.sound)


def plain_case(
    case: dict[str, Any],
    notes: Notes,
    *,
    readings: list[dict[str, Any]] | None = None,
    haptics: tuple[HapticNow, HapticNow] | None = None,
) -> tuple[Case, dict[str, Any]]:
    """The case as plain numbers with provenance; ``readings`` as :func:`reading_requests`, ``haptics`` as
    :func:`haptics_now` if that was already worked out."""
    inner = Notes()
    with case_paths():
        request = _READER(titration_request(case, readings or [], haptics), "", inner)
        plain = read_case(request, inner)
    note_with_case_paths(inner, notes)
    return plain


_READER: Final = record(*ITEMS)


def titration_request(
    case: dict[str, Any],
    readings: list[dict[str, Any]],
    haptics: tuple[HapticNow, HapticNow] | None = None,
) -> dict[str, Any]:
    """The ``advise`` request that the case amounts to; absent values stay absent."""
    measurements, lens, plan = case["measurements"], case["lens"], case["plan"]
    return {
        **{name: measurements[name] for name in _MEASUREMENTS},
        "axial_method": axial_method(measurements),
        **_cornea(measurements),
        "keratometry_method": measurements["keratometry_method"],
        "cornea": case["history"]["cornea"],
        "formula": plan["formula"] or DEFAULT_FORMULA,
        "constants": {name: lens[name] for name in _CONSTANTS},
        "lens_power_d": lens["lens_power_d"],
        "target_d": plan["target_d"],
        "entry_mm": list(both_sides(plan, "entry", REFERENCE_ENTRY_MM)),
        "tunnel_mm": list(both_sides(plan, "tunnel", REFERENCE_TUNNEL_MM)),
        "readings": readings,
        "haptic": _haptic(case, haptics or haptics_now(case)),
        "belief": belief_of_origins(measurements),
        "aphakic": usable_aphakic(case["aphakic"]),
    }


def axial_method(measurements: dict[str, Any]) -> str | None:
    """How the length was measured. A length that was not has its own belief in place of a method's."""
    entered: str | None = measurements["axial_method"]
    estimated = standing_origin(measurements, "axial_origin") is not None
    return "optical" if entered is None and estimated else entered


def reading_requests(case: dict[str, Any]) -> list[dict[str, Any]]:
    """The readings that stand, as ``advise`` reads them."""
    return [reading_request(entry) for entry in standing(case, "readings")]


def reading_request(entry: dict[str, Any]) -> dict[str, Any]:
    """One stored reading as ``advise`` reads it."""
    outside = [entry[f"outside_{side}_mm"] for side in SIDES]
    return {
        **{name: entry[name] for name in _READING},
        "outside_mm": None if None in outside else outside,
        "removed_mm": [entry[f"removed_{side}_mm"] or 0.0 for side in SIDES],
    }


def haptics_now(case: dict[str, Any]) -> tuple[HapticNow, HapticNow]:
    """Both haptics as the log leaves them."""
    first, second = (replay(_steps(case, side)) for side in SIDES)
    return first, second


def _steps(case: dict[str, Any], side: str) -> list[Step]:
    """Log entries and measured readings of one haptic in the order they happened.

    A reading whose lengths were measured says where the haptic lay, like an entry does.
    """
    logged = [
        (entry["at"] or "", _log_step(entry, path, case["plan"]["bury_mm"]))
        for path, entry in log_rows(case)
        if entry["haptic"] == side
    ]
    read = [
        (entry["at"] or "", Step("measure", entry[f"outside_{side}_mm"], True, say(
            "reading {id}",
            id=entry["id"],
        )))
        for entry in standing(case, "readings")
        if entry["length_basis"] == "measured"
    ]
    return [step for _, step in sorted(logged + read, key=lambda timed: timed[0])]


def _log_step(entry: dict[str, Any], where: str, bury_mm: float | None) -> Step:
    if entry["haptic_step"] is None:
        raise MissingField(say(
            "{where} does not say what was done. Correct the entry.",
            where=where,
        ), field=where)
    if entry["haptic_step"] in _REMOVES and entry["length_mm"] is None:
        raise MissingField(
            say(
                "{where} does not say how much was taken off. Correct the entry before anything is cut.",
                where=where,
            ),
            field=f"{where}.length_mm",
        )
    measured = entry["basis"] == "measured"
    bury = USUAL_BURY_MM if bury_mm is None else bury_mm
    return Step(entry["haptic_step"], entry["length_mm"], measured, where, bury)


def _cornea(measurements: dict[str, Any]) -> dict[str, Any]:
    """Powers or radii, whichever the user said was entered; never both."""
    names = ("r1_mm", "r2_mm") if measurements["k_unit"] == "mm" else ("k1_d", "k2_d")
    return {name: measurements[name] for name in names}


def both_sides(plan: dict[str, Any], name: str, assumed: float) -> tuple[float, float]:
    """What was entered for each side; a side left empty is assumed, as the screen says."""
    first, second = (plan[f"{name}_{side}_mm"] for side in SIDES)
    return assumed if first is None else first, assumed if second is None else second


def _haptic(case: dict[str, Any], now: tuple[HapticNow, HapticNow]) -> dict[str, Any]:
    plan = case["plan"]
    first, second = now
    return {
        "drawn_out_mm": plan["drawn_out_mm"] or _longest_mm(case),
        "melt_mm": plan["melt_mm"],
        "bury_mm": plan["bury_mm"],
        "removed_mm": [first.removed_mm, second.removed_mm],
        "centred_outside_mm": _centred(first, second),
        "haptic_state": haptic_state(first, second),
        "flanged": 1 if second.flanged and not first.flanged else 0,
    }


def _longest_mm(case: dict[str, Any]) -> float:
    """Assumed taut length: 2.5 mm, or the longest measured to the original tip."""
    lengths = [DEFAULT_DRAWN_OUT_MM]
    for row in reading_requests(case):
        if row["length_basis"] == "measured" and row["outside_mm"]:
            lengths += map(float.__add__, map(float, row["outside_mm"]), map(float, row["removed_mm"]))
    return max(lengths)


def note_drawn_out(case: dict[str, Any], notes: Notes) -> None:
    """Say so when the taut length is assumed."""
    if case["plan"]["drawn_out_mm"] is None:
        notes.warn(
            "drawn_out_assumed",
            say(
                "The length outside when drawn out is assumed to be {case} mm. Measure it at the first "
                "resistance and enter it.",
                case=f"{_longest_mm(case):.1f}",
            ),
            field="plan.drawn_out_mm",
        )


def _centred(first: HapticNow, second: HapticNow) -> list[float] | None:
    """Lengths to the original tips as they lie now, which is with the optic centred.

    ``None``, so that both sides are taken as alike, unless both were measured together.
    """
    lengths = (first.original_mm, second.original_mm)
    if first.flanged or second.flanged or not measured_together(first, second):
        return None
    return None if lengths[0] is None or lengths[1] is None else [lengths[0], lengths[1]]
