"""What a column of a foreign table can be taken for: every value that an export carries per eye.

A target is called like the exported column, so an exported eyes table matches itself. Names
that people use for the same are suggestions; the surgeon confirms each match.

Checked by ``tests/exchange/test_csv_import.py``.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from pycore.exchange.columns import COLUMNS
from pycore.exchange.leaves import Leaf, put
from pycore.fields import FIELDS, Field
from pycore.records.case import Case, Value, Words


@dataclass(frozen=True, slots=True)
class Target:
    """A place in the record: section, keys below it, glossary field, and the words of a screen.

    Section ``visit`` is the one visit that a table with one line per eye can hold."""

    name: str
    section: str
    keys: tuple[str, ...]
    field: str
    label: str
    group: str
    words: bool = False

    @property
    def entry(self) -> Field:
        return FIELDS[self.field]

    def put(self, section: Case, value: Any) -> None:
        """Put ``value`` into its section."""
        put(Leaf(self.name, self.keys, Value(self.field)), section, value)


_GROUPS: Final = {"history": "History", "measurements": "Measurements", "lens": "Lens", "plan": "Plan"}
_VISIT: Final = {
    "outcome_on": "on", "outcome_days": "days_after", "outcome_refraction_method": "refraction_method",
    "outcome_se_d": "se_d", "outcome_sphere_d": "sphere_d", "outcome_cylinder_d": "cylinder_d",
    "outcome_axis_deg": "axis_deg", "outcome_vertex_mm": "vertex_mm", "outcome_udva_logmar": "udva_logmar",
    "outcome_cdva_logmar": "cdva_logmar", "outcome_iop_mmhg": "iop_mmhg",
}
#: A column of another field than its key: the cylinder as written, in either form.
_OTHER_FIELD: Final = {"outcome_cylinder_d": "cylinder_entered_d"}
_AGE_AND_YEAR: Final = ("age_band_years", "surgery_year", "year_band_years")
#: A row's person code is drawn anew; what stands in the column only tells which eyes belong together.
PERSON: Final = "person_id"


def _targets() -> tuple[Target, ...]:
    eye = Target("eye", "", ("eye",), "eye", "Eye", "Eye")
    person = Target(PERSON, "", ("person",), "person", "Person (links two eyes; not stored)", "Eye")
    day = Target("surgery_on", "", ("surgery_on",), "surgery_on", "Surgery date", "Eye")
    bands = [Target(name, "imported", (name,), name, FIELDS[name].label, "Eye") for name in _AGE_AND_YEAR]
    sections = [
        Target(column.name, column.section or "", column.leaf.keys, column.field,
               _label(column.section or "", column.field, column.name),
               _GROUPS.get(column.section or "", "Other"),
               isinstance(column.leaf.node, Words))
        for column in COLUMNS
        if column.leaf is not None and column.field is not None
    ]
    visit = [
        Target(name, "visit", (key,), _OTHER_FIELD.get(name, key), FIELDS[key].label, "Result")
        for name, key in _VISIT.items()
    ]
    seen = Target("complications", "visit", ("complications",), "complications", "Complications", "Result",
                  words=True)
    return (eye, person, day, *bands, *sections, *visit, seen)


def _label(section: str, field: str, name: str) -> str:
    """The glossary's label; of a section that has values of the same names as others, with its name."""
    before = "" if section in _GROUPS else f"{section.replace('_', ' ').capitalize()}: "
    return before + FIELDS[field].label + _side(name)


def _side(name: str) -> str:
    found = re.search(r"_(a|b)_mm$", name)
    return {"a": " (first haptic)", "b": " (second haptic)"}[found[1]] if found else ""


TARGETS: Final[dict[str, Target]] = {target.name: target for target in _targets()}

#: What people call these columns, without blanks and marks; suggestions only.
_CALLED: Final[dict[str, tuple[str, ...]]] = {
    "eye": ("side", "laterality", "oculus", "odos", "rl"),
    "person_id": ("person", "subject", "participant", "patient", "patientid", "id"),
    "surgery_on": ("surgerydate", "dateofsurgery", "operationdate", "opdate", "surgery"),
    "surgery_year": ("year", "yearofsurgery"),
    "age_years": ("age",),
    "sex": ("gender",),
    "axial_length_mm": ("al", "axl", "axiallength", "almm"),
    "axial_method": ("biometry", "biometrymethod"),
    "k1_d": ("k1", "kflat", "flatk"), "k2_d": ("k2", "ksteep", "steepk"),
    "k2_axis_deg": ("steepaxis", "k2axis"), "r1_mm": ("r1", "rflat"), "r2_mm": ("r2", "rsteep"),
    "phakic_acd_mm": ("acd", "phakicacd"),
    "limbus_horizontal_mm": ("wtw", "whitetowhite"),
    "lens_power_d": ("power", "iolpower", "lenspower", "iol", "implantedpower"),
    "a": ("aconstant", "aconst", "constant"),
    "plan_target_d": ("target", "targetrefraction", "aim", "targetse"),
    "plan_formula": ("formula",),
    "outcome_on": ("visitdate", "followupdate", "dateofvisit"),
    "outcome_days": ("days", "followupdays", "daysafter", "daysaftersurgery"),
    "outcome_se_d": ("se", "sphericalequivalent", "postopse", "achieved", "achievedse"),
    "outcome_sphere_d": ("sphere", "sph", "s"), "outcome_cylinder_d": ("cylinder", "cyl", "c"),
    "outcome_axis_deg": ("axis", "ax"), "outcome_udva_logmar": ("udva", "ucva", "udvalogmar"),
    "outcome_cdva_logmar": ("cdva", "bcva", "bcdva", "cdvalogmar"), "outcome_iop_mmhg": ("iop", "pressure"),
}
_BY_CALL: Final = {call: name for name, calls in _CALLED.items() for call in calls}


def suggested(header: Sequence[str]) -> list[str | None]:
    """For every column the target it is probably meant for; each target once."""
    taken: set[str] = set()
    made: list[str | None] = []
    for name in header:
        found = _suggested(name)
        made.append(None if found in taken else found)
        taken |= {found} if found else set()
    return made


def _suggested(name: str) -> str | None:
    if name in TARGETS:
        return name
    plain = re.sub(r"[^a-z0-9]", "", name.casefold())
    by_label = next((target.name for target in TARGETS.values()
                     if re.sub(r"[^a-z0-9]", "", target.label.casefold()) == plain), None)
    return _BY_CALL.get(plain) or by_label
