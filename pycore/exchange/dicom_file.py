"""Opening a DICOM file of eye measurements; everything else is refused by name.

Only the tags of measurements are read: names, dates of birth and numbers of the patient never
become values of this program. The file must say what it is twice (in its head and in its
content), be of one of five kinds, be written in a plain transfer syntax and be whole.

Standard: DICOM PS3.3, PS3.5 (edition 2025c; identifiers from PS3.6). pydicom is the only
library used and only here; it is imported when a file comes. Checked by
``tests/exchange/test_dicom_import.py``.
"""

from __future__ import annotations

import io
import warnings
import zlib
from dataclasses import dataclass
from importlib import import_module
from typing import Any, Final

from pycore.errors import (
    DicomNotReady,
    FileDamaged,
    FileEncrypted,
    FileTooLarge,
    NotThisKind,
)
from pycore.exchange.dicom_whole import Form, NotWhole, require_whole

#: Measurement objects are a few kilobytes; a larger file holds images.
MOST_BYTES: Final = 4_000_000
#: A packed file may grow a thousandfold.
MOST_PACKED_BYTES: Final = 100_000
_PREAMBLE: Final = 128
_BASE: Final = "1.2.840.10008.5.1.4.1.1.78."
#: The five kinds, by the end of their class.
KINDS: Final = {
    "2": "autorefraction",
    "3": "keratometry",
    "4": "subjective refraction",
    "5": "visual acuity",
    "7": "ophthalmic axial measurements",
}
_OTHERS: Final = {"1": "lensometry", "6": "a spectacle prescription", "8": "a lens calculation"}
_PLAIN: Final = ("1.2.840.10008.1.2", "1.2.840.10008.1.2.1", "1.2.840.10008.1.2.2")
_PACKED: Final = "1.2.840.10008.1.2.1.99"
#: All that is read of a file; of its patient nothing.
TAGS: Final = (
    "SOPClassUID", "EncryptedAttributesSequence", "MeasurementLaterality",
    "KeratometryRightEyeSequence", "KeratometryLeftEyeSequence",
    "OphthalmicAxialMeasurementsRightEyeSequence", "OphthalmicAxialMeasurementsLeftEyeSequence",
    "OphthalmicAxialMeasurementsDeviceType", "OphthalmicUltrasoundMethodCodeSequence",
    "KeratometerIndex", "VertexDistance",
    "AutorefractionRightEyeSequence", "AutorefractionLeftEyeSequence",
    "SubjectiveRefractionRightEyeSequence", "SubjectiveRefractionLeftEyeSequence",
    "VisualAcuityRightEyeSequence", "VisualAcuityLeftEyeSequence", "VisualAcuityTypeCodeSequence",
    "ViewingDistanceType",
)


@dataclass(frozen=True, slots=True)
class Opened:
    """The kind of measurements and the data set with the tags above."""

    kind: str
    data: Any


def opened(data: bytes) -> Opened:
    """The measurements in ``data``; raises a named error for anything else."""
    _refuse_foreign(data)
    pydicom = library()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        head, start = _head(pydicom, data)
        kind = _kind(str(head.get("MediaStorageSOPClassUID", "")))
        syntax = str(head.get("TransferSyntaxUID", ""))
        _refuse_syntax(syntax, len(data))
        _refuse_cut(data[start:], syntax)
        found = _content(pydicom, data)
    if "EncryptedAttributesSequence" in found:
        raise FileEncrypted("Parts of the file are encrypted. Export it without encryption.", field="file")
    said = str(found.get("SOPClassUID", ""))
    if said != str(head.get("MediaStorageSOPClassUID", "")):
        raise FileDamaged(f"The file's label says {kind}, its content says something else. It is not used.",
                          field="file")
    return Opened(kind, found)


def library() -> Any:
    """pydicom, once it is there."""
    try:
        return import_module("pydicom")
    except ModuleNotFoundError:
        raise DicomNotReady("DICOM files are read by a part that is not loaded here. In the app, bring the "
                            "file in from the eye's plan or follow-up; on the command line, install the "
                            "extra 'dicom'.") from None


def _refuse_foreign(data: bytes) -> None:
    if len(data) > MOST_BYTES:
        raise FileTooLarge(f"The file has {len(data)} bytes; measurements have a few thousand. It is likely "
                           "an image: choose the measurement object.", field="file")
    if data[_PREAMBLE:_PREAMBLE + 4] != b"DICM":
        raise NotThisKind("This is not a DICOM file. Choose the measurement object that the instrument "
                          "exported.", field="file")


def _head(pydicom: Any, data: bytes) -> tuple[Any, int]:
    """The head alone and where it ends: nothing is unpacked before its syntax was looked at."""
    held = io.BytesIO(data)
    try:
        pydicom.filereader.read_preamble(held, force=False)
        head = pydicom.filereader._read_file_meta_info(held)
        head.walk(lambda group, element: element.value)  # elements are decoded when they are looked at
        return head, held.tell()
    except Exception as error:  # whatever the library meets in damaged bytes
        raise FileDamaged(f"The head of the file cannot be read ({type(error).__name__}). Export it again.",
                          field="file") from None


def _kind(uid: str) -> str:
    end = uid.removeprefix(_BASE)
    if uid.startswith(_BASE) and end in KINDS:
        return KINDS[end]
    what = _OTHERS.get(end) if uid.startswith(_BASE) else None
    listed = ", ".join(KINDS.values())
    raise NotThisKind(f"The file holds {what or 'no eye measurements'}. Read are: {listed}.", field="file")


def _refuse_syntax(uid: str, size: int) -> None:
    if uid == _PACKED and size > MOST_PACKED_BYTES:
        raise FileTooLarge("The file is packed and too large for measurements. Export it unpacked.",
                           field="file")
    if uid not in (*_PLAIN, _PACKED):
        raise FileEncrypted("The file is written in a way that is not read: compressed or encrypted transfer "
                            "syntax. Export it as explicit or implicit little endian.", field="file")


def _refuse_cut(content: bytes, uid: str) -> None:
    """Raise a named error for a data set that was cut short."""
    form = Form(implicit=uid == _PLAIN[0], big_endian=uid == _PLAIN[2])
    try:
        require_whole(zlib.decompress(content, -zlib.MAX_WBITS) if uid == _PACKED else content, form)
    except (NotWhole, zlib.error):
        raise FileDamaged("The file ends too early or is damaged. Export it again and copy it whole.",
                          field="file") from None


def _content(pydicom: Any, data: bytes) -> Any:
    try:
        found = pydicom.dcmread(io.BytesIO(data), stop_before_pixels=True, specific_tags=list(TAGS))
        found.walk(lambda group, element: element.value)
        return found
    except Exception as error:  # whatever the library meets in damaged bytes
        raise FileDamaged(f"The file is damaged or cut short ({type(error).__name__}). Export it again and "
                          "copy it whole.", field="file") from None
