"""The aphakic reading of a stored case as ``advise`` reads it, and why it cannot be used.

Nothing about it stops the plan: a reading that is incomplete or contradicts itself is left out,
and the reason is shown beside the fields. Tests: ``tests/unit/test_second_route_case.py``.
"""

from __future__ import annotations

from typing import Any, Final

from pycore.api.aphakic_item import APHAKIC_REQUIRED, read_aphakic
from pycore.api.schema import Notes
from pycore.errors import GuylineError, MissingField
from pycore.words import say

#: What each form needs, by key of the case.
_NEEDED: Final = {
    "equivalent": (("refraction_d", "the refraction"),),
    "spherocylinder": (("sphere_d", "the sphere"), ("cylinder_d", "the cylinder, 0 for none")),
    "meridians": (("meridian_1_d", "the first meridian"), ("meridian_2_d", "the second meridian")),
}
_TAKEN: Final = ("instrument", "vertex_mm")
#: The equivalent of two meridians does not depend on where they lie.
_ANY_AXIS_DEG: Final = 180.0


def aphakic_request(stored: dict[str, Any]) -> dict[str, Any] | None:
    """The request that ``stored`` amounts to; ``None`` while nothing was entered.

    Raises :class:`MissingField` naming the first thing that is still needed.
    """
    if all(stored[key] is None for key in stored if key != "at"):
        return None
    _need("instrument", "the instrument", stored)
    _need("form", "how the refraction was written down", stored)
    for key, words in _NEEDED[stored["form"]]:
        _need(key, words, stored)
    _need("vertex_mm", "the vertex distance", stored)
    distance = stored["working_distance_m"] if stored["instrument"] == "retinoscope" else None
    taken = {key: stored[key] for key in _TAKEN} | {"working_distance_m": distance}
    return taken | _refraction(stored)


def _need(key: str, words: str, stored: dict[str, Any]) -> None:
    if stored[key] is None:
        raise MissingField(say("Enter {words} of the aphakic reading.", words=words), field=f"aphakic.{key}")


def _refraction(stored: dict[str, Any]) -> dict[str, Any]:
    if stored["form"] == "equivalent":
        return {"refraction_d": stored["refraction_d"]}
    if stored["form"] == "spherocylinder":
        return {key: stored[key] for key in ("sphere_d", "cylinder_d", "axis_deg")}
    high, low = sorted((stored["meridian_1_d"], stored["meridian_2_d"]), reverse=True)
    return {"sphere_d": high, "cylinder_d": low - high, "axis_deg": _ANY_AXIS_DEG}


def aphakic_problem(stored: dict[str, Any]) -> GuylineError | None:
    """Why an entered reading cannot be used; ``None`` for a usable one and for none."""
    try:
        request = aphakic_request(stored)
        if request is not None:
            read_aphakic(APHAKIC_REQUIRED.reader(request, "aphakic", Notes()), Notes())
    except GuylineError as error:
        return error
    return None


def usable_aphakic(stored: dict[str, Any]) -> dict[str, Any] | None:
    """The request of a usable reading; ``None`` otherwise."""
    return None if aphakic_problem(stored) else aphakic_request(stored)
