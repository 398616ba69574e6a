"""Candidates from DICOM eye measurements: each with its source, side and definition, none taken.

Values are as the standard has them: radii and lengths in mm, powers in D, axes in degrees of
the TABO scheme, decimal acuity. What each kind gives is in :mod:`pycore.exchange.dicom_biometry`
and :mod:`pycore.exchange.dicom_outcome`.

A file that contradicts itself about its sides (its stated laterality, more than one block of a
side) is refused whole: no value of it could be trusted to be this eye's.

Standard: DICOM PS3.3. Checked by ``tests/exchange/test_dicom_import.py``.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final

from pycore.errors import FileDamaged, GuylineError
from pycore.exchange.dicom_biometry import axial, keratometry
from pycore.exchange.dicom_file import Opened, opened
from pycore.exchange.dicom_items import Candidate
from pycore.exchange.dicom_outcome import Reader, acuity, refraction

SIDES: Final = ("right", "left")
#: Sides by what the file calls them as a whole.
_LATERALITY: Final = {"R": ("right",), "L": ("left",), "B": SIDES, "": SIDES}


@dataclass(frozen=True, slots=True)
class _Kind:
    """How a kind is read, and where it belongs: the eye's plan, or a visit after surgery."""

    read: Reader
    places: tuple[str, ...]


_KINDS: Final = {
    "keratometry": _Kind(keratometry, ("plan", "visit")),
    "ophthalmic axial measurements": _Kind(axial, ("plan",)),
    "autorefraction": _Kind(refraction("Autorefraction", "autorefractor"), ("visit",)),
    "subjective refraction": _Kind(refraction("SubjectiveRefraction", "subjective"), ("visit",)),
    "visual acuity": _Kind(acuity, ("visit",)),
}


@dataclass(frozen=True, slots=True)
class Measurements:
    """The kind of the file, where its values belong, and its candidates."""

    kind: str
    places: tuple[str, ...]
    candidates: list[Candidate] = field(default_factory=list)


def measurements(data: bytes) -> Measurements:
    """All candidates of a file; raises a named error for one that cannot be used."""
    found = opened(data)
    kind = _KINDS[found.kind]
    try:
        made = [one for side in SIDES for one in kind.read(found, side)]
        _require_sides(found, {one.side for one in made})
    except GuylineError:
        raise
    except Exception as error:  # a value of the wrong kind anywhere in the file
        raise FileDamaged(f"A value in the file is not what the standard asks for ({type(error).__name__}). "
                          "It is not used.", field="file") from None
    if not made:
        raise FileDamaged(f"The file is labelled {found.kind} and holds no such measurement.", field="file")
    return Measurements(found.kind, kind.places, made)


def _require_sides(found: Opened, sides: set[str]) -> None:
    """Raise a named error unless the sides with values are among those the file says it holds."""
    said = str(found.data.get("MeasurementLaterality") or "").strip().upper()
    if not sides <= set(_LATERALITY.get(said, ())):
        raise FileDamaged("The file says of itself that it holds another eye than its values do. No value "
                          "of it is used. Export it again, or enter them by hand.", field="file")
