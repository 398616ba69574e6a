"""Candidates from keratometry and ophthalmic axial measurements.

A corneal power is made from the radius with the index 1.3375 that this program's records state;
the file's own power and index are told beside it. A chamber depth counts from the epithelium of
an eye with its own lens; any other is shown and cannot be taken as it is. A length never comes
without its method: one that the file does not state is emptied, to be asked for.

Standard: DICOM PS3.3, keratometry and ophthalmic axial measurements modules; PS3.16, context
groups 4230, 4231, 4239 and 4240. Checked by ``tests/exchange/test_dicom_import.py``.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from pycore.exchange.dicom_file import Opened
from pycore.exchange.dicom_items import (
    Candidate,
    Way,
    as_typed,
    candidate,
    code,
    eye_item,
    first,
    number,
    whole_axis_deg,
)
from pycore.units import KERATOMETER_INDEX, keratometric_power_d

_ULTRASOUND: Final = {"111750": "contact", "111751": "immersion"}
_DEPTH_FROM: Final = {"111776": "epithelium", "111777": "endothelium"}
_OWN_LENS: Final = "247049005"
_SOURCES: Final = {
    "111780": "Measured by this instrument.", "111781": "Brought to the instrument from elsewhere.",
    "113857": "Typed into the instrument by hand.",
}
_TOLD: Final = {
    "optical": "Optical.", "contact": "Ultrasound, contact.", "immersion": "Ultrasound, immersion.",
}
_UNTOLD: Final = {
    "ULTRASOUND": "Ultrasound; contact or immersion is not stated: choose it after taking.",
}
_NO_METHOD: Final = "The file does not say how it was measured: choose it after taking."
_MOST_LENGTHS: Final = 20
_INDEX_ROUNDING: Final = 0.00005


# ---- keratometry ---------------------------------------------------------------------------------


def keratometry(found: Opened, side: str) -> Iterator[Candidate]:
    """Radii of both meridians and the steep axis."""
    eye = eye_item(found, "Keratometry", side)
    flat, steep = first(eye, "FlatKeratometricAxisSequence"), first(eye, "SteepKeratometricAxisSequence")
    crossed = _crossed(number(flat, "RadiusOfCurvature"), number(steep, "RadiusOfCurvature"))
    for place, item in ((1, flat), (2, steep)):
        radius = number(item, "RadiusOfCurvature")
        if radius is not None and radius > 0:
            yield _kept_back(_cornea(found, item, side, place, radius), crossed)
    axis = number(steep, "KeratometricAxis")
    if axis is not None:
        yield _kept_back(candidate(side, "k2_axis_deg", axis, ("Axis of the steeper meridian.",),
                                   Way("Take", {"k2_axis_deg": whole_axis_deg(axis)})), crossed)


def _crossed(flat_mm: float | None, steep_mm: float | None) -> str | None:
    if flat_mm is None or steep_mm is None or flat_mm >= steep_mm:
        return None
    return ("The file calls the longer radius steep and the shorter one flat. It contradicts itself; enter "
            "the cornea by hand.")


def _kept_back(one: Candidate, why: str | None) -> Candidate:
    return Candidate(one.side, one.field, one.value, one.about, (), why) if why else one


def _cornea(found: Opened, item: Any, side: str, place: int, radius_mm: float) -> Candidate:
    name, key = f"r{place}_mm", f"k{place}_d"
    power = keratometric_power_d(radius_mm)
    about = (*_own_power(found, item, radius_mm),
             f"At index {KERATOMETER_INDEX:g} the radius makes {power:.2f} D.")
    return candidate(
        side, name, radius_mm, about,
        Way("Take as radius", {name: as_typed(radius_mm, name), "k_unit": "mm"}),
        Way("Take as power", {key: as_typed(power, key), "k_unit": "d"}),
    )


def _own_power(found: Opened, item: Any, radius_mm: float) -> tuple[str, ...]:
    """The file's own power with the index it rests on, stated or implied."""
    power = number(item, "KeratometricPower")
    stated = [number(place, "KeratometerIndex") for place in (item, found.data)]
    index = next((one for one in stated if one is not None), None)
    if index is None and power is None:
        return ("The file states neither a power nor a keratometer index.",)
    if index is None:
        implied = 1 + (power or 0.0) * radius_mm / 1000
        own = f"The file's own power is {power:.2f} D; its keratometer index is not stated"
        return (f"{own}, {implied:.4f} fits.",)
    other = "" if abs(index - KERATOMETER_INDEX) < _INDEX_ROUNDING else ", not this program's"
    own = "" if power is None else f" and its power {power:.2f} D"
    return (f"The file's keratometer index is {index:.4f}{other}{own}.",)


# ---- axial measurements --------------------------------------------------------------------------


def axial(found: Opened, side: str) -> Iterator[Candidate]:
    """Axial length, chamber depth and corneal size."""
    eye = eye_item(found, "OphthalmicAxialMeasurements", side)
    if eye is None:
        return
    yield from _lengths(eye, side, *_method(found))
    yield from _depth(eye, side)
    item = first(eye, "CornealSizeSequence")
    size = number(item, "CornealSize")
    if size is not None:
        name = "limbus_horizontal_mm"
        about = ("Corneal size, white to white.", *_source(item, "SourceOfCornealSizeDataCodeSequence"))
        yield candidate(side, name, size, about, Way("Take", {name: as_typed(size, name)}))


def _method(found: Opened) -> tuple[str | None, str]:
    """How lengths were measured, in the record's word if the file states it, and in words."""
    device = str(found.data.get("OphthalmicAxialMeasurementsDeviceType", ""))
    ultrasound = _ULTRASOUND.get(code(found.data, "OphthalmicUltrasoundMethodCodeSequence") or "")
    how = {"OPTICAL": "optical", "ULTRASOUND": ultrasound}.get(device)
    return how, _TOLD[how] if how else _UNTOLD.get(device, _NO_METHOD)


def _lengths(eye: Any, side: str, how: str | None, told: str) -> Iterator[Candidate]:
    """The selected length if there is one, else every length measured."""
    selected = list(_within(eye, ("UltrasoundSelectedOphthalmicAxialLengthSequence",
                                  "OpticalSelectedOphthalmicAxialLengthSequence")))
    found = selected or list(_within(eye, ("OphthalmicAxialLengthMeasurementsSequence",)))
    for place, (length, about) in enumerate(found[:_MOST_LENGTHS], 1):
        which = "Chosen in the biometer." if selected else f"Measurement {place} of {len(found)}."
        patch = {"axial_length_mm": as_typed(length, "axial_length_mm"), "axial_method": how}
        yield candidate(side, "axial_length_mm", length, (which, told, *about), Way("Take", patch))


def _within(eye: Any, sequences: tuple[str, ...]) -> Iterator[tuple[float, tuple[str, ...]]]:
    """Length and remarks of every measurement in these sequences."""
    for name in sequences:
        for item in eye.get(name) or ():
            said = str(item.get("OphthalmicAxialLengthMeasurementsType", ""))
            kind = ("Segments added up.",) if said == "LENGTH SUMMATION" else ()
            for length, source in _axial_lengths(item):
                yield length, (*source, *kind)


def _axial_lengths(item: Any) -> Iterator[tuple[float, tuple[str, ...]]]:
    """The axial lengths of an item with their source, as deep as the kind of measurement puts them."""
    own = number(item, "OphthalmicAxialLength")
    if own is not None:
        yield own, next((said for place in (item, *_inside(item))
                         if (said := _source(place, "OphthalmicAxialLengthDataSourceCodeSequence"))), ())
        return
    for inner in _inside(item):
        yield from _axial_lengths(inner)


def _inside(item: Any) -> Iterator[Any]:
    """Items of its sequences, segments apart."""
    for element in item:
        if element.VR == "SQ" and "Segment" not in element.keyword:
            yield from element.value


def _source(item: Any, name: str) -> tuple[str, ...]:
    found = code(item, name)
    return () if found is None else (_SOURCES.get(found, "From another measurement object."),)


def _depth(eye: Any, side: str) -> Iterator[Candidate]:
    item = first(eye, "AnteriorChamberDepthSequence")
    depth = number(item, "AnteriorChamberDepth")
    if depth is None:
        return
    lens = code(eye, "LensStatusCodeSequence")
    why = _not_as_here(eye, item) or _not_phakic(lens)
    about = ("Chamber depth." if why else "Front of the cornea to front of the lens.",
             *_source(item, "SourceOfAnteriorChamberDepthDataCodeSequence"),
             *(() if lens else ("The file does not say which lens the eye had.",)))
    made = candidate(side, "phakic_acd_mm", depth, about,
                     Way("Take", {"phakic_acd_mm": as_typed(depth, "phakic_acd_mm")}))
    yield _kept_back(made, why)


def _not_as_here(eye: Any, item: Any) -> str | None:
    name = "AnteriorChamberDepthDefinitionCodeSequence"
    begins = _DEPTH_FROM.get(code(item, name) or code(eye, name) or "")
    if begins == "epithelium":
        return None
    if begins is None:
        return "The file does not say where it begins. Ask for the definition and enter it by hand."
    return ("It begins at the back of the cornea; here depth begins at the front. Enter it under "
            "\u201cMeasured otherwise?\u201d, with the corneal thickness.")


def _not_phakic(lens: str | None) -> str | None:
    if lens in (None, _OWN_LENS):
        return None
    return "The file says that the eye did not have its natural lens alone. This is not its phakic depth."
