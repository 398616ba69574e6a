"""What a visit found, in words: the same on the screen, on the card and in a note."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from pycore.api.acuity_words import KINDS, acuity_text
from pycore.api.wording import fixed, quantity, word
from pycore.fields import FIELDS
from pycore.optics.refraction import Spherocylinder
from pycore.records.case import Case
from pycore.words import joined, say


def refraction_text(refraction: Spherocylinder) -> str:
    """A refraction as it is written down.

    >>> refraction_text(Spherocylinder(0.5, -1.25, 5))
    '+0.50 D \N{MINUS SIGN}1.25 D \N{MULTIPLICATION SIGN} 005°'
    """
    sphere = quantity(refraction.sphere_d, "sphere_d")
    if not refraction.cylinder_d:
        return say("{sphere} sphere", sphere=sphere)
    cylinder = fixed(refraction.cylinder_d, FIELDS["cylinder_d"].decimals, signed=True)
    return say(
        "{sphere} {cylinder} D × {axis_deg}°",
        sphere=sphere, cylinder=cylinder, axis_deg=f"{refraction.axis_deg:03.0f}",
    )


def refraction_words(refraction: Spherocylinder) -> str:
    """A refraction as it is read aloud, with its notation.

    >>> refraction_words(Spherocylinder(0.5, -1.25, 5))
    'plus 0.50 sphere, minus 1.25 cylinder, axis 5 (minus-cylinder notation)'
    """
    sphere = say("{sphere_d} sphere", sphere_d=_spoken(refraction.sphere_d))
    if not refraction.cylinder_d:
        return say("{sphere}, no cylinder", sphere=sphere)
    notation = "minus" if refraction.cylinder_d < 0 else "plus"
    return (
        say(
            "{sphere}, {cylinder_d} cylinder, axis {axis_deg} ({notation}-cylinder notation)",
            sphere=sphere, cylinder_d=_spoken(refraction.cylinder_d),
            axis_deg=f"{refraction.axis_deg:.0f}", notation=notation,
        )
    )


def _spoken(power_d: float) -> str:
    size = f"{abs(power_d):.2f}"
    if not float(size):
        return size
    return say("{value} {size}", value="minus" if power_d < 0 else "plus", size=size)


def visit_facts(visit: Case, days: int | None, *, acuity_first: str = "metre") -> list[dict[str, str]]:
    """Everything else that the visit found, one label and value each."""
    found = (*_acuities(visit, acuity_first), *_facts(visit, days))
    return [{"label": label, "value": value} for label, value in found]


def _acuities(visit: Case, first: str) -> Iterator[tuple[str, str]]:
    for kind in KINDS:
        logmar, low = visit[f"{kind}_logmar"], visit[f"{kind}_low"]
        if logmar is not None or low is not None:
            yield FIELDS[f"{kind}_written"].label, acuity_text(logmar, low, first=first)


def _facts(visit: Case, days: int | None) -> Iterator[tuple[str, str]]:
    if visit["iop_mmhg"] is not None:
        yield "IOP", quantity(visit["iop_mmhg"], "iop_mmhg")
    yield from _cornea(visit)
    yield from _pose(visit)
    for key in ("sutures", "flange_check"):
        if visit[key] is not None:
            yield FIELDS[key].label, word(visit[key], key)
    yield "Complications", complications_text(visit, days)


def _cornea(visit: Case) -> Iterator[tuple[str, str]]:
    names = ("r1_mm", "r2_mm") if visit["k_unit"] == "mm" else ("k1_d", "k2_d")
    values = [quantity(visit[name], name) for name in names if visit[name] is not None]
    if values:
        axis = visit["k2_axis_deg"]
        steep = "" if axis is None else say(", steep at {axis}°", axis=f"{axis:03.0f}")
        yield "Keratometry", " / ".join(values) + steep


def _pose(visit: Case) -> Iterator[tuple[str, str]]:
    if visit["optic_depth_mm"] is not None:
        start = visit["optic_depth_from"]
        defined = "" if start is None else say(
            " from the {lower}",
            lower=word(start, "optic_depth_from").lower(),
        )
        yield "Lens depth", quantity(visit["optic_depth_mm"], "optic_depth_mm") + defined
    moved = [text for text in (_tilt(visit), _decentred(visit)) if text]
    if moved:
        yield "Lens position", joined("; ", moved) + _definition(visit)


def _tilt(visit: Case) -> str:
    if visit["tilt_deg"] is None:
        return ""
    axis = visit["tilt_axis_deg"]
    about = "" if axis is None else say(" about {axis}°", axis=f"{axis:03.0f}")
    return say("tilt {tilt_deg}{about}", tilt_deg=quantity(visit["tilt_deg"], "tilt_deg"), about=about)


def _decentred(visit: Case) -> str:
    if visit["decentre_mm"] is None:
        return ""
    toward = visit["decentre_axis_deg"]
    where = "" if toward is None else say(" toward {toward}°", toward=f"{toward:03.0f}")
    return say(
        "decentred {decentre_mm}{where}",
        decentre_mm=quantity(visit["decentre_mm"], "decentre_mm"), where=where,
    )


def _definition(visit: Case) -> str:
    reference, device = visit["tilt_reference"], visit["pose_device"]
    against = "; reference not entered" if reference is None else (
        say("; against the {lower}", lower=word(reference, "tilt_reference").lower())
    )
    return against + ("" if device is None else say(
        ", by {lower_first}",
        lower_first=_lower_first(word(device, "pose_device")),
    ))


def _lower_first(text: str) -> str:
    return text[0].lower() + text[1:]


def complications_text(visit: Case, days: int | None) -> str:
    """All complications with the day each was noticed and what was done.

    >>> complications_text({"complications": []}, 1)
    'none'
    """
    found = visit["complications"]
    if not found:
        return "not recorded" if found is None else say("none")
    details = {row["complication"]: row for row in visit["complication_details"]}
    return joined("; ", (_complication(name, details.get(name), days) for name in found))


_NO_DETAIL: Final[dict[str, Any]] = {"days_after": None, "treatment": None}


def _complication(name: str, detail: Case | None, days: int | None) -> str:
    given = detail or _NO_DETAIL
    day = days if given["days_after"] is None else given["days_after"]
    noticed = "" if day is None else say(", day {day}", day=f"{day:.0f}")
    treated = "" if given["treatment"] is None else say(
        ", {lower_first}",
        lower_first=_lower_first(word(given["treatment"], "treatment")),
    )
    return joined("", (word(name, "complications"), noticed, treated))
