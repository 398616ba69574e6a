"""Candidates from DICOM eye measurements: each with its source, side and definition, none taken.

Values are as the standard has them: radii and lengths in mm, powers in D, axes in degrees of
the TABO scheme, decimal acuity (PS3.3, the modules of keratometry, ophthalmic axial
measurements, autorefraction, subjective refraction and visual acuity). A corneal power is made
from the radius with the index 1.3375 that this program's records state; the file's own power
and index are told beside it. A chamber depth counts from the epithelium; one from the
endothelium is shown and cannot be taken as it is. Plus cylinders are transposed.

Checked by ``tests/exchange/test_dicom_import.py``.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any, Final

from pycore.errors import FileDamaged
from pycore.exchange.dicom_file import Opened, opened
from pycore.fields import FIELDS
from pycore.optics.refraction import Spherocylinder, minus_form
from pycore.units import KERATOMETER_INDEX, keratometric_power_d

SIDES: Final = ("right", "left")
#: Codes of the standard's context groups 4230, 4239 and 4216 (DCM and SNOMED CT).
_ULTRASOUND: Final = {"111750": "contact", "111751": "immersion"}
_DEPTH_FROM: Final = {"111776": "epithelium", "111777": "endothelium"}
_ACUITY: Final = {"420050001": "udva_logmar", "419775003": "cdva_logmar"}
_TOLD: Final = {
    "optical": "Optical.", "contact": "Ultrasound, contact.", "immersion": "Ultrasound, immersion.",
    None: "Ultrasound; contact or immersion is not stated: enter it by hand.",
}
_MOST_LENGTHS: Final = 20
_INDEX_ROUNDING: Final = 0.00005


@dataclass(frozen=True, slots=True)
class Way:
    """One way to take a candidate: words, and values by place in the record or the new visit."""

    words: str
    patch: dict[str, Any]


@dataclass(frozen=True, slots=True)
class Candidate:
    """A value of the file. ``ways`` is empty when it cannot be taken; ``refused`` says why."""

    side: str
    field: str
    value: float
    about: tuple[str, ...]
    ways: tuple[Way, ...] = ()
    refused: str | None = None


@dataclass(frozen=True, slots=True)
class Measurements:
    """The kind of the file and its candidates."""

    kind: str
    candidates: list[Candidate] = field(default_factory=list)


def measurements(data: bytes) -> Measurements:
    """All candidates of a file; raises a named error for one that cannot be used."""
    found = opened(data)
    try:
        made = [one for side in SIDES for one in _READERS[found.kind](found, side)]
    except FileDamaged:
        raise
    except Exception as error:  # a value of the wrong kind anywhere in the file
        raise FileDamaged(f"A value in the file is not what the standard asks for ({type(error).__name__}). "
                          "It is not used.", field="file") from None
    if not made:
        raise FileDamaged(f"The file is labelled {found.kind} and holds no such measurement.", field="file")
    return Measurements(found.kind, made)


def _eye(found: Opened, name: str, side: str) -> Any:
    """The one item of a side, or None."""
    items = found.data.get(f"{name}{side.capitalize()}EyeSequence")
    return items[0] if items else None


def _first(item: Any, name: str) -> Any:
    items = None if item is None else item.get(name)
    return items[0] if items else None


def _number(item: Any, name: str) -> float | None:
    value = None if item is None else item.get(name)
    if value is None or value == "":
        return None
    number = float(value)
    if not math.isfinite(number):
        raise FileDamaged("A value in the file is not a finite number. It is not used.", field="file")
    return number


def _code(item: Any, name: str) -> str | None:
    found = _first(item, name)
    return None if found is None else str(found.get("CodeValue", ""))


def _round(value: float, name: str) -> float:
    """To the decimals of the glossary, as a screen would have it typed."""
    return round(value, FIELDS[name].decimals)


def _signed(value: float) -> str:
    return f"{value:+.2f}".replace("-", "\u2212")


def _impossible(name: str, value: float) -> str | None:
    low, high = FIELDS[name].lowest, FIELDS[name].highest
    if low is None or high is None or low <= value <= high:
        return None
    return f"{value:g} is beyond {low:g} to {high:g} {FIELDS[name].unit}: not a possible value."


def _candidate(side: str, name: str, value: float, about: tuple[str, ...], *ways: Way) -> Candidate:
    why = _impossible(name, value)
    return Candidate(side, name, value, about, () if why else ways, why)


# ---- keratometry ---------------------------------------------------------------------------------


def _keratometry(found: Opened, side: str) -> Iterator[Candidate]:
    eye = _eye(found, "Keratometry", side)
    flat, steep = _first(eye, "FlatKeratometricAxisSequence"), _first(eye, "SteepKeratometricAxisSequence")
    radii = _number(flat, "RadiusOfCurvature"), _number(steep, "RadiusOfCurvature")
    crossed = None not in radii and radii[0] < radii[1]  # type: ignore[operator]
    for number, item in ((1, flat), (2, steep)):
        radius = _number(item, "RadiusOfCurvature")
        if radius is not None and radius > 0:
            yield _cornea(found, eye, item, side, number, radius, crossed=crossed)
    axis = _number(steep, "KeratometricAxis")
    if axis is not None:
        yield _candidate(side, "k2_axis_deg", axis, ("Axis of the steeper meridian.",),
                         Way("Take", {"measurements.k2_axis_deg": _round(axis, "k2_axis_deg")}))


def _cornea(
    found: Opened, eye: Any, item: Any, side: str, number: int, radius_mm: float, *, crossed: bool
) -> Candidate:
    name, key = f"r{number}_mm", f"k{number}_d"
    power = keratometric_power_d(radius_mm)
    about = (*_own_power(found, eye, item, radius_mm),
             f"At index {KERATOMETER_INDEX:g} the radius makes {power:.2f} D.")
    if crossed:
        return Candidate(side, name, radius_mm, about, (), "The file calls the longer radius steep and the "
                         "shorter one flat. It contradicts itself; enter the cornea by hand.")
    return _candidate(
        side, name, radius_mm, about,
        Way("Take as radius", {f"measurements.{name}": _round(radius_mm, name), "measurements.k_unit": "mm"}),
        Way("Take as power", {f"measurements.{key}": _round(power, key), "measurements.k_unit": "d"}),
    )


def _own_power(found: Opened, eye: Any, item: Any, radius_mm: float) -> tuple[str, ...]:
    """The file's own power with the index it rests on, stated or implied."""
    power = _number(item, "KeratometricPower")
    stated = [_number(place, "KeratometerIndex") for place in (item, eye, found.data)]
    index = next((one for one in stated if one is not None), None)
    if index is None and power is None:
        return ("The file states neither a power nor a keratometer index.",)
    if index is None:
        implied = 1 + (power or 0.0) * radius_mm / 1000
        own = f"The file's own power is {power:.2f} D; its keratometer index is not stated, "
        return (own + f"{implied:.4f} fits.",)
    other = "" if abs(index - KERATOMETER_INDEX) < _INDEX_ROUNDING else ", not this program's"
    own = "" if power is None else f" and power {power:.2f} D"
    return (f"The file's keratometer index is {index:.4f}{other}{own}.",)


# ---- axial measurements --------------------------------------------------------------------------


def _axial(found: Opened, side: str) -> Iterator[Candidate]:
    eye = _eye(found, "OphthalmicAxialMeasurements", side)
    if eye is None:
        return
    device = str(found.data.get("OphthalmicAxialMeasurementsDeviceType", ""))
    stated = _ULTRASOUND.get(_code(found.data, "OphthalmicUltrasoundMethodCodeSequence") or "")
    yield from _lengths(eye, "optical" if device == "OPTICAL" else stated, side)
    yield from _depth(eye, side)
    size = _number(_first(eye, "CornealSizeSequence") or eye, "CornealSize")
    if size is not None:
        name = "limbus_horizontal_mm"
        yield _candidate(side, name, size, ("Corneal size, white to white.",),
                         Way("Take", {f"measurements.{name}": _round(size, name)}))


def _lengths(eye: Any, how: str | None, side: str) -> Iterator[Candidate]:
    """The selected length if there is one, else every length measured."""
    selected = list(_within(eye, ("UltrasoundSelectedOphthalmicAxialLengthSequence",
                                  "OpticalSelectedOphthalmicAxialLengthSequence")))
    found = selected or list(_within(eye, ("OphthalmicAxialLengthMeasurementsSequence",)))
    for number, (length, kind) in enumerate(found[:_MOST_LENGTHS], 1):
        which = "Chosen in the biometer." if selected else f"Measurement {number} of {len(found)}."
        patch: dict[str, Any] = {"measurements.axial_length_mm": _round(length, "axial_length_mm")}
        patch |= {"measurements.axial_method": how} if how else {}
        yield _candidate(side, "axial_length_mm", length, (which, _TOLD[how], *kind), Way("Take", patch))


def _within(
    eye: Any, sequences: tuple[str, ...]
) -> Iterator[tuple[float, tuple[str, ...]]]:
    """Length and remarks of every measurement in these sequences."""
    for name in sequences:
        for item in eye.get(name) or ():
            said = str(item.get("OphthalmicAxialLengthMeasurementsType", ""))
            kind = ("Segments added up.",) if said == "LENGTH SUMMATION" else ()
            for length in _axial_lengths(item):
                yield length, kind


def _axial_lengths(item: Any) -> Iterator[float]:
    """The axial lengths of an item, at whatever depth the kind of measurement puts them."""
    own = _number(item, "OphthalmicAxialLength")
    if own is not None:
        yield own
        return
    for element in item:
        if element.VR == "SQ" and "Segment" not in element.keyword:
            for inner in element.value:
                yield from _axial_lengths(inner)


def _depth(eye: Any, side: str) -> Iterator[Candidate]:
    item = _first(eye, "AnteriorChamberDepthSequence")
    depth = _number(item, "AnteriorChamberDepth")
    if depth is None:
        return
    begins = _DEPTH_FROM.get(_code(item, "AnteriorChamberDepthDefinitionCodeSequence")
                             or _code(eye, "AnteriorChamberDepthDefinitionCodeSequence") or "")
    if begins == "epithelium":
        yield _candidate(side, "phakic_acd_mm", depth, ("Front of the cornea to front of the lens.",),
                         Way("Take", {"measurements.phakic_acd_mm": _round(depth, "phakic_acd_mm")}))
        return
    why = ("It begins at the back of the cornea; here depth begins at the front. Enter it as measured "
           "otherwise, with the corneal thickness." if begins else
           "The file does not say where it begins. Ask the biometer's definition and enter it by hand.")
    yield Candidate(side, "phakic_acd_mm", depth, ("Chamber depth.",), (), why)


# ---- refraction and acuity -----------------------------------------------------------------------


def _refraction(name: str, method: str) -> Callable[[Opened, str], Iterator[Candidate]]:
    def read(found: Opened, side: str) -> Iterator[Candidate]:
        eye = _eye(found, name, side)
        sphere = next((one for one in (_number(eye, "SpherePower"), _number(eye, "SphericalLensPower"))
                       if one is not None), None)
        if eye is None or sphere is None:
            return
        yield _refracted(found, eye, side, sphere, method)

    return read


def _refracted(found: Opened, eye: Any, side: str, sphere: float, method: str) -> Candidate:
    item = _first(eye, "CylinderSequence")
    power, axis = _number(item, "CylinderPower"), _number(item, "CylinderAxis")
    if power and axis is None:
        return Candidate(side, "sphere_d", sphere, (f"Cylinder {_signed(power)} D.",), (),
                         "The cylinder has no axis.")
    minus = minus_form(Spherocylinder(sphere, power or 0.0, axis or 0.0))
    vertex = next((one for one in (_number(eye, "VertexDistance"), _number(found.data, "VertexDistance"))
                   if one is not None), None)
    about = (
        f"Cylinder {_signed(minus.cylinder_d)} D, axis {minus.axis_deg:.0f}\u00b0."
        if power else "No cylinder.",
        *(("Written with a plus cylinder in the file; transposed.",) if power and power > 0 else ()),
        "Vertex distance not stated." if vertex is None else f"Vertex {vertex:g} mm.",
    )
    patch: dict[str, Any] = {
        "new_visit.refraction_method": method, "new_visit.sphere_d": _round(minus.sphere_d, "sphere_d"),
        "new_visit.cylinder_d": _round(minus.cylinder_d, "cylinder_d"),
        **({"new_visit.axis_deg": _round(minus.axis_deg, "axis_deg")} if power else {}),
        **({"new_visit.vertex_mm": _round(vertex, "vertex_mm")} if vertex is not None else {}),
    }
    return _candidate(side, "sphere_d", minus.sphere_d, about, Way("Take as this visit's refraction", patch))


def _acuity(found: Opened, side: str) -> Iterator[Candidate]:
    eye = _eye(found, "VisualAcuity", side)
    decimal = _number(eye, "DecimalVisualAcuity")
    if decimal is None:
        return
    if decimal <= 0:
        yield Candidate(side, "udva_logmar", decimal, ("Decimal acuity.",), (),
                        "A decimal acuity is above zero.")
        return
    logmar = -math.log10(decimal)
    kind = _ACUITY.get(_code(found.data, "VisualAcuityTypeCodeSequence") or _code(
        eye, "VisualAcuityTypeCodeSequence") or "")
    told = (f"Decimal {decimal:g}.", "" if kind else "The file does not say whether it was corrected.")
    ways = [Way(words, {f"new_visit.{key}": _round(logmar, key)})
            for key, words in (("udva_logmar", "Take as uncorrected"), ("cdva_logmar", "Take as corrected"))
            if kind in (None, key)]
    yield _candidate(side, kind or "udva_logmar", logmar, tuple(one for one in told if one), *ways)


_READERS: Final[dict[str, Callable[[Opened, str], Iterator[Candidate]]]] = {
    "keratometry": _keratometry,
    "ophthalmic axial measurements": _axial,
    "autorefraction": _refraction("Autorefraction", "autorefractor"),
    "subjective refraction": _refraction("SubjectiveRefraction", "subjective"),
    "visual acuity": _acuity,
}
