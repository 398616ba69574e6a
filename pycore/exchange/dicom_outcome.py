"""Candidates from refraction and visual acuity.

Plus cylinders are transposed. A refraction is taken as a whole: what the file does not state is
emptied, never mixed with what was typed. An acuity is taken as the decimal that was written, and
only one at distance, uncorrected or best corrected.

Standard: DICOM PS3.3, autorefraction, subjective refraction and visual acuity modules; PS3.16,
context group 4216. Checked by ``tests/exchange/test_dicom_import.py``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any, Final

from pycore.errors import OutOfRange
from pycore.exchange.dicom_file import Opened
from pycore.exchange.dicom_items import (
    MINUS,
    Candidate,
    Way,
    as_typed,
    candidate,
    code,
    eye_item,
    first,
    number,
    signed,
    whole_axis_deg,
)
from pycore.optics.acuity import Acuity, parse
from pycore.optics.refraction import Spherocylinder, minus_form

_ACUITY: Final = {"420050001": "udva", "419775003": "cdva"}
_TAKEN_AS: Final = {"udva": "Take as uncorrected", "cdva": "Take as corrected"}

Reader = Callable[[Opened, str], Iterator[Candidate]]


def refraction(name: str, method: str) -> Reader:
    """A reader of the blocks called ``name``, refracted by ``method``."""
    def read(found: Opened, side: str) -> Iterator[Candidate]:
        eye = eye_item(found, name, side)
        sphere = _either(number(eye, "SpherePower"), number(eye, "SphericalLensPower"))
        if sphere is not None:
            yield _refracted(found, eye, side, sphere, method)

    return read


def _either(*values: float | None) -> float | None:
    return next((one for one in values if one is not None), None)


def _refracted(found: Opened, eye: Any, side: str, sphere: float, method: str) -> Candidate:
    item = first(eye, "CylinderSequence")
    power, axis = number(item, "CylinderPower") or 0.0, number(item, "CylinderAxis")
    if power and axis is None:
        return Candidate(side, "sphere_d", sphere, (f"Cylinder {signed(power)} D.",), (),
                         "The cylinder has no axis.")
    minus = minus_form(Spherocylinder(sphere, power, axis or 0.0))
    vertex = _either(number(eye, "VertexDistance"), number(found.data, "VertexDistance"))
    patch: dict[str, Any] = {
        "refraction_method": method, "sphere_d": as_typed(minus.sphere_d, "sphere_d"),
        "cylinder_d": as_typed(minus.cylinder_d, "cylinder_d"),
        "axis_deg": whole_axis_deg(minus.axis_deg) if power else None,
        "vertex_mm": None if vertex is None else as_typed(vertex, "vertex_mm"),
    }
    return candidate(side, "sphere_d", minus.sphere_d, _about(minus, power, vertex),
                     Way("Take as this visit's refraction", patch))


def _about(minus: Spherocylinder, power: float, vertex: float | None) -> tuple[str, ...]:
    bent = f"Cylinder {signed(minus.cylinder_d)} D, axis {whole_axis_deg(minus.axis_deg):.0f}\u00b0."
    return (
        bent if power else "No cylinder.",
        *(("Written with a plus cylinder in the file; transposed.",) if power > 0 else ()),
        "Vertex distance not stated." if vertex is None else f"Vertex {vertex:g} mm.",
    )


def acuity(found: Opened, side: str) -> Iterator[Candidate]:
    """The decimal acuity of a side, as it would be typed."""
    eye = eye_item(found, "VisualAcuity", side)
    decimal = number(eye, "DecimalVisualAcuity")
    if decimal is None:
        return
    kind = code(eye, "VisualAcuityTypeCodeSequence") or code(found.data, "VisualAcuityTypeCodeSequence")
    about = (f"Decimal {decimal:g}.", *_beside(found, eye, kind))
    name = _ACUITY.get(kind or "", "udva")
    try:
        logmar, why = _logmar(decimal), _not_here(found, eye, kind)
    except OutOfRange as error:
        logmar, why = decimal, error.message
    ways = () if why else _ways(decimal, [name] if kind else list(_TAKEN_AS))
    yield Candidate(side, f"{name}_logmar", logmar, about, ways, why)


def _ways(decimal: float, names: list[str]) -> tuple[Way, ...]:
    return tuple(Way(_TAKEN_AS[name], {f"{name}_written": f"{decimal:.3g}", f"{name}_notation": "decimal"})
                 for name in names)


def _logmar(decimal: float) -> float:
    """As the same decimal typed on the screen would be read."""
    if decimal <= 0:
        raise OutOfRange("A decimal acuity is above zero.", field="file")
    read = parse(f"{decimal:.3g}", "decimal")
    if not isinstance(read, Acuity) or read.logmar is None:
        raise OutOfRange(f"{decimal:g} is no decimal acuity.", field="file")
    return read.logmar


def _beside(found: Opened, eye: Any, kind: str | None) -> Iterator[str]:
    """What must be known beside the decimal."""
    if kind is None:
        yield "The file does not say whether it was corrected."
    letters = [int(one) for one in eye.get("VisualAcuityModifiers") or ()]
    if any(letters):
        said = " and ".join(f"{one:+d}".replace("-", MINUS) for one in letters if one)
        yield f"The file adds {said} optotypes; they are not counted here."
    if not _view(found, eye):
        yield "The file does not say at which distance."


def _view(found: Opened, eye: Any) -> str:
    return str(eye.get("ViewingDistanceType") or found.data.get("ViewingDistanceType") or "")


def _not_here(found: Opened, eye: Any, kind: str | None) -> str | None:
    if _view(found, eye) not in ("", "DISTANCE"):
        return "It was not measured at distance. Acuity here is at distance."
    if kind is not None and kind not in _ACUITY:
        return ("The file names another kind of acuity than uncorrected or best corrected, through a pinhole "
                "for instance. Enter it by hand if it is one of the two.")
    return None
