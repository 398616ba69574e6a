"""The record of one eye, schema 1, as a table.

Every key is written once here: sections hold values (each with its glossary field), words,
groups and rows. Reading, checking, emptying and exporting a record all walk this table, so
a key added here is known everywhere. A record is a plain JSON object; nothing is computed
into it.

Conventions. Haptic ``a`` is the one at the smaller TABO angle of the fixation meridian,
seen from in front. Lengths in a reading are lengths outside **now**; what was cut or melted
before it is ``removed``. A reading is written as its equivalent, as sphere and cylinder, or as two
meridians; with ``working_distance_m`` it is the lens as held and the distance is still to be taken off,
and without ``vertex_mm`` it is at 12 mm. Rows are never deleted: a reading or visit is withdrawn with a
reason, a log entry is corrected by a later one. ``complications`` is null when nobody looked
and an empty list when there were none; ``complication_details`` adds the day each was noticed
(null: the day of the visit) and what was done. An acuity is either a logMAR or a low-vision
word, with the text as typed beside it. ``not_learned`` keeps an eye out of its surgeon's
learning, with a reason. A visit of an imported eye may have ``days_after`` surgery in place of
dates, and ``se_d`` in place of sphere and cylinder.

Checked by ``tests/records/test_case.py``.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

#: The schema this code writes.
SCHEMA: Final = 1

#: A record: a JSON object.
Case = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Value:
    """One value of the kind, unit and limits of glossary field ``field``."""

    field: str


@dataclass(frozen=True, slots=True)
class Words:
    """A list of different words from the choices of glossary field ``field``."""

    field: str


@dataclass(frozen=True, slots=True)
class Anything:
    """An object that is kept as it is: what was read aloud."""


@dataclass(frozen=True, slots=True)
class Group:
    """An object with these keys; ``optional`` groups may be null as a whole."""

    members: dict[str, Node]
    optional: bool = False


@dataclass(frozen=True, slots=True)
class Rows:
    """A list of groups of one kind, in the order in which they were entered."""

    row: Group


Node = Value | Words | Anything | Group | Rows


def _values(*names: str, **renamed: str) -> dict[str, Node]:
    """Keys named like their glossary field, then keys with another name than their field."""
    fields = {name: name for name in names} | renamed
    return {key: Value(field) for key, field in fields.items()}


_WITHDRAWN: Final = Group(_values("at", "reason"), optional=True)


def _origin(*values: str) -> Group:
    """Where converted values came from; it counts while they stand as they were accepted."""
    return Group(_values(*values, "off_mean", "off_sd", "origin", "origin_source", "at"), optional=True)


_HISTORY: Final = Group(_values("age_years", "sex", "indication", "cornea", "vitreous"))

_MEASUREMENTS: Final = Group(
    _values(
        "axial_length_mm", "axial_method", "keratometry_method", "k_unit",
        "k1_d", "k2_d", "k2_axis_deg", "r1_mm", "r2_mm",
        "phakic_acd_mm", "limbus_horizontal_mm", "limbus_vertical_mm",
    )
    | {"axial_origin": _origin("axial_length_mm"), "cornea_origin": _origin("k1_d", "k2_d"),
       "depth_origin": _origin("phakic_acd_mm")}
)

#: The refraction of the eye before the lens is in, as it was written down.
_APHAKIC: Final = Group(
    _values(
        "at", "instrument", "vertex_mm", "working_distance_m", "cylinder_d", "axis_deg",
        form="aphakic_form", refraction_d="aphakic_refraction_d", sphere_d="aphakic_refraction_d",
        meridian_1_d="aphakic_refraction_d", meridian_2_d="aphakic_refraction_d",
    )
)

#: What fills the eye behind the lens after surgery, and the optic it meets.
_FILL_AFTER: Final = Group(_values("medium", "oil_stays", "lens_index", "lens_shape"))

_LENS: Final = Group(
    _values(
        "lens_name", "lens_power_d", "a", "pacd_mm", "surgeon_factor_mm", "a0", "a1", "a2",
        "lens_length_mm", "optic_diameter_mm", "haptic_length_mm",
    )
)

_PLAN: Final = Group(
    _values(
        "target_d", "fellow_se_d", "formula", "meridian_deg", "seat",
        entry_a_mm="entry_mm", entry_b_mm="entry_mm",
        tunnel_a_mm="tunnel_mm", tunnel_b_mm="tunnel_mm",
        melt_mm="melt_mm", bury_mm="bury_mm", drawn_out_mm="drawn_out_mm",
        iridectomy_planned="iridectomy_planned",
    )
)

_MARK: Final = Group(_values("id", "at", "mark", "at_clock") | {"withdrawn": _WITHDRAWN})

_READBACK: Final = Group(
    _values("id", "at", kind="readback") | {"values": Anything()} | _values("by_two")
)

_READING: Final = Group(
    _values(
        "id", "at", "length_basis",
        outside_a_mm="outside_now_mm", outside_b_mm="outside_now_mm",
        removed_a_mm="removed_mm", removed_b_mm="removed_mm",
    )
    | _values(
        "placement", "refraction_d", "sphere_d", "cylinder_d", "axis_deg", "instrument",
        "iop_mmhg", "infusion", "fill", "iridectomy_done", "vertex_mm", "working_distance_m",
        meridian_1_d="refraction_d", meridian_2_d="refraction_d",
    )
    | {"conditions": Words("conditions"), "withdrawn": _WITHDRAWN}
)

_LOG_ENTRY: Final = Group(
    _values("id", "at", "haptic", "haptic_step", "length_mm", "basis", "corrects")
)

_DECISION: Final = Group(
    _values(
        "id", "at", "outside_mm", cut_a_mm="cut_mm", cut_b_mm="cut_mm",
    )
    | _values(
        "melt_mm", "bury_mm", "mean_d", "sd_d", "low80_d", "high80_d", "within_050",
        "no_useful_adjustment", "readings_used", "core_version", "build_id", "decided_as",
        advised_outside_mm="outside_mm",
    )
)

_COMPLICATION: Final = Group(
    _values("treatment", "days_after", complication="complications")
)

_ACUITY: Final = tuple(
    (f"{kind}_{part}", field)
    for kind in ("udva", "cdva")
    for part, field in (
        ("written", f"{kind}_written"), ("notation", "acuity_notation"), ("low", "low_vision"),
    )
)

_FOLLOW_UP: Final = Group(
    _values(
        "id", "at", "on", "sphere_d", "cylinder_d", "axis_deg", "vertex_mm", "refraction_method",
        "udva_logmar", "cdva_logmar", "iop_mmhg", "days_after", "se_d", **dict(_ACUITY),
    )
    | _values(
        "k_unit", "k1_d", "k2_d", "k2_axis_deg", "r1_mm", "r2_mm", "optic_depth_mm",
        "optic_depth_from", "tilt_deg", "tilt_axis_deg", "decentre_mm", "decentre_axis_deg",
        "tilt_reference", "pose_device", "sutures", "flange_check",
    )
    | {
        "complications": Words("complications"),
        "complication_details": Rows(_COMPLICATION),
        "withdrawn": _WITHDRAWN,
    }
)

#: An eye that came in with a file: when, how it is known again, and what stood in place of dates.
_IMPORTED: Final = Group(
    _values("at", "fingerprint", "surgery_year", "year_band_years", "age_from_years", "age_band_years"),
    optional=True,
)
_LOST: Final = Group(_values("on", reason="lost_reason"), optional=True)

#: The whole record; ``schema`` itself is read by :mod:`pycore.records.migrate`.
CASE: Final = Group(
    _values("code", "demo", "created_at", "updated_at", "eye", person="code")
    | {
        "history": _HISTORY,
        "measurements": _MEASUREMENTS,
        "lens": _LENS,
        "plan": _PLAN,
        "marks": Rows(_MARK),
        "aphakic": _APHAKIC,
        "fill_after": _FILL_AFTER,
        "ignore_history": Value("ignore_history"),
        "not_learned": _WITHDRAWN,
        "readbacks": Rows(_READBACK),
        "surgery_on": Value("surgery_on"),
        "readings": Rows(_READING),
        "haptic_log": Rows(_LOG_ENTRY),
        "decisions": Rows(_DECISION),
        "follow_ups": Rows(_FOLLOW_UP),
        "imported": _IMPORTED,
        "lost_to_follow_up": _LOST,
    }
)


def empty_case(*, code: str, created_at: str, person: str | None = None, demo: bool = False) -> Case:
    """A record with every section and nothing entered; the eye is null until chosen."""
    case = {"schema": SCHEMA, **empty(CASE)}
    return case | {
        "code": code,
        "person": person,
        "demo": demo,
        "created_at": created_at,
        "updated_at": created_at,
    }


def empty(group: Group) -> Case:
    """Every key of ``group`` with nothing entered: null, an empty list or an empty group."""
    return {key: _nothing(node) for key, node in group.members.items()}


def rows(case: Case, section: str) -> Iterator[tuple[str, Case]]:
    """The rows of ``section`` with their paths: ``("readings[0]", {...})``."""
    for index, row in enumerate(case[section]):
        yield f"{section}[{index}]", row


def standing(case: Case, section: str) -> list[Case]:
    """The rows of ``section`` that were not withdrawn, in the order entered."""
    return [row for row in case[section] if row.get("withdrawn") is None]


def current_log(case: Case) -> list[Case]:
    """Log entries that no later entry corrects, in the order entered; see :func:`log_rows`."""
    return [entry for _, entry in log_rows(case)]


def log_rows(case: Case) -> Iterator[tuple[str, Case]]:
    """Log entries that no later entry corrects, with their paths.

    A correction says what was done when the entry it corrects was made, not when it was
    written: it has that entry's instant, or the steps in between would be replayed before it.
    """
    replaced = {entry["corrects"] for entry in case["haptic_log"]} - {None}
    instants: dict[str, str | None] = {}
    for path, entry in rows(case, "haptic_log"):
        at = entry["at"] if entry["corrects"] is None else instants.get(entry["corrects"], entry["at"])
        instants[entry["id"]] = at
        if entry["id"] not in replaced:
            yield path, {**entry, "at": at}


def _nothing(node: Node) -> Any:
    if isinstance(node, Group) and not node.optional:
        return empty(node)
    return [] if isinstance(node, Rows) else None
