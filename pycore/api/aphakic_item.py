"""The aphakic refraction in a request: read, checked, and moved to 12 mm vertex.

``refraction_d``, or ``sphere_d`` with ``cylinder_d`` and ``axis_deg``, in the plane at
``vertex_mm``. With ``working_distance_m`` the sphere is the retinoscope's neutralising lens and
1 / working distance is taken off; without it the refraction is taken as already net, and a
retinoscope's user is told so.
"""

from __future__ import annotations

from typing import Any, Final

from pycore.api.reading_items import REFUSED_FILL, spherical_equivalent_d
from pycore.api.schema import Notes, number, optional, record, required
from pycore.errors import GuylineError, Inconsistent, MissingField, ReadingRefused
from pycore.formulas.eye import ThinEye
from pycore.optics.refraction import Spherocylinder
from pycore.optics.retinoscopy import net_equivalent_d
from pycore.planning.aphakic import (
    APHAKIC_NOISE_SD_D,
    CORNEA,
    LENGTH,
    AphakicReading,
    LengthAndCornea,
    SecondRoute,
    second_route,
)
from pycore.planning.recheck import AsTaken, Candidate, Entered, candidates
from pycore.words import say

_FIELDS: Final = (
    optional("refraction_d", number("aphakic_refraction_d")),
    optional("sphere_d", number("aphakic_refraction_d")),
    optional("cylinder_d"),
    optional("axis_deg"),
    required("instrument"),
    required("vertex_mm"),
    optional("working_distance_m"),
    optional("noise_sd_d"),
    optional("fill"),
)
_ABOUT: Final = "Refraction of the eye before the lens is in."
_READER: Final = record(*_FIELDS)
APHAKIC_ITEM: Final = optional("aphakic", _READER, about=_ABOUT)
APHAKIC_REQUIRED: Final = required("aphakic", _READER, about=_ABOUT)

#: How a candidate is said: label, decimals, unit, always with its sign or not.
_SAID: Final = {
    "axial_length_mm": ("Axial length", 2, "mm", False),
    "k_mean_d": ("Mean corneal power", 2, "D", False),
    "aphakic_refraction_d": ("Aphakic refraction as entered", 2, "D", True),
    "vertex_mm": ("Vertex distance", 1, "mm", False),
    "working_distance_m": ("Working distance", 2, "m", False),
}


def read_aphakic(entry: dict[str, Any], notes: Notes) -> tuple[AphakicReading, AsTaken]:
    """The reading at 12 mm vertex, and how it was taken.

    Raises :class:`ReadingRefused` for a filled eye, :class:`Inconsistent` for a working distance
    without retinoscope, and what :func:`spherical_equivalent_d` raises.
    """
    _refuse_unreadable(entry)
    taken = AsTaken(
        spherical_equivalent_d(entry, "aphakic"), entry["vertex_mm"], entry["working_distance_m"]
    )
    _note_distance(entry, notes)
    noise = entry["noise_sd_d"] or APHAKIC_NOISE_SD_D[entry["instrument"]]
    return AphakicReading(_at_standard_vertex_d(entry), noise), taken


def route_of(
    thin: ThinEye,
    priors: dict[str, Any],
    reading: AphakicReading,
    *,
    target_d: float,
) -> SecondRoute:
    """Both routes, from the belief's own length, cornea and lens position."""
    return second_route(
        thin,
        length_and_cornea(priors),
        reading,
        target_d=target_d,
        position_sd_mm=priors["lens_position_mm"].sd,
    )


def length_and_cornea(priors: dict[str, Any]) -> LengthAndCornea:
    """The two unknowns that the aphakic refraction observes."""
    return LengthAndCornea(priors[LENGTH], priors[CORNEA])


def recheck_candidates(
    thin: ThinEye,
    priors: dict[str, Any],
    reading: AphakicReading,
    taken: AsTaken,
    *,
    entered: Entered,
) -> list[Candidate]:
    """Which single error would explain a disagreement, likeliest first."""
    return candidates(thin, length_and_cornea(priors), reading, entered=entered, taken=taken)


def note_route(route: SecondRoute, found: list[Candidate], notes: Notes) -> None:
    """Ask for a recheck when the two routes contradict each other."""
    if not route.recheck:
        return
    first = found[0] if found else None
    explained = say(" {first}", first=candidate_text(first)) if first else ""
    notes.warn(
        "routes_disagree",
        say(
            "The eye reads {surprise_d} D against biometry, {surprise_sds} SD. Recheck axial length, "
            "corneal power, the aphakic refraction and its distances.{explained}",
            surprise_d=_signed(route.surprise_d), surprise_sds=f"{abs(route.surprise_sds):.1f}",
            explained=explained,
        ),
        field="aphakic",
    )


def candidate_text(candidate: Candidate) -> str:
    """One candidate as a sentence: what it is, and what it would have to be."""
    label, decimals, unit, signed = _SAID[candidate.name]
    values = [
        _signed(value) if signed else f"{value:.{decimals}f}"
        for value in (candidate.would_be, candidate.entered)
    ]
    return say(
        "{label} {values} {unit} instead of {values2} {unit} would explain it.",
        label=label, values=values[0], unit=unit, values2=values[1],
    )


def _signed(value: float) -> str:
    return f"{value:+.2f}".replace("-", "\u2212")


def _at_standard_vertex_d(entry: dict[str, Any]) -> float:
    """SE at 12 mm: working distance first, then each meridian to the new plane."""
    sphere = entry["refraction_d"] if entry["sphere_d"] is None else entry["sphere_d"]
    held = Spherocylinder(sphere, entry["cylinder_d"] or 0.0, entry["axis_deg"] or 0.0)
    try:
        return net_equivalent_d(
            held, vertex_mm=entry["vertex_mm"], working_distance_m=entry["working_distance_m"]
        )
    except GuylineError as error:
        error.field = "aphakic"
        raise


def _refuse_unreadable(entry: dict[str, Any]) -> None:
    if entry["fill"] in REFUSED_FILL or entry["fill"] == "oil":
        reason = REFUSED_FILL.get(entry["fill"], "silicone oil changes the refraction by several dioptres")
        raise ReadingRefused(say("aphakic: {reason}.", reason=reason), field="aphakic.fill")
    if entry["working_distance_m"] is not None and entry["instrument"] != "retinoscope":
        raise Inconsistent(
            "A working distance belongs to the retinoscope only. Leave it out, or choose the retinoscope.",
            field="aphakic.working_distance_m",
        )
    if entry["cylinder_d"] and entry["sphere_d"] is None:
        raise Inconsistent(
            "A cylinder needs its sphere. Give sphere_d and cylinder_d, or refraction_d alone.",
            field="aphakic.cylinder_d",
        )
    if entry["cylinder_d"] and entry["axis_deg"] is None:
        raise MissingField("aphakic.axis_deg is missing. Enter the axis.", field="aphakic.axis_deg")


def _note_distance(entry: dict[str, Any], notes: Notes) -> None:
    if entry["instrument"] == "retinoscope" and entry["working_distance_m"] is None:
        notes.warn(
            "taken_as_net",
            "The retinoscopy is taken as already corrected for the working distance. If the lens in your "
            "hand was entered, give working_distance_m.",
            field="aphakic.working_distance_m",
        )
