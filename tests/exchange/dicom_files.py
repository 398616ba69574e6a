"""Invented DICOM measurement objects, made with pydicom: every patient tag holds a tell-tale."""

from __future__ import annotations

import io
from typing import Any, Final

from pydicom.dataset import Dataset, FileDataset, FileMetaDataset
from pydicom.uid import ExplicitVRLittleEndian, generate_uid

NAME, NUMBER, BORN = "Example^Tell^Tale", "HN19540815", "19540815"
_BASE: Final = "1.2.840.10008.5.1.4.1.1.78."
CLASSES: Final = {
    "lensometry": "1", "autorefraction": "2", "keratometry": "3", "subjective refraction": "4",
    "visual acuity": "5", "ophthalmic axial measurements": "7",
}
IMAGE: Final = {"ReferencedSOPClassUID": "1.2.840.10008.5.1.4.1.1.7.2", "ReferencedSOPInstanceUID": "2.25.2",
                "ReferencedFrameNumber": "1"}
REFERENCE: Final = {"ReferencedSOPClassUID": "1.2.840.10008.3.1.2.3.3", "ReferencedSOPInstanceUID": "2.25.1"}
_MODALITY: Final = {"autorefraction": "AR", "keratometry": "KER", "subjective refraction": "SRF",
                    "visual acuity": "VA", "ophthalmic axial measurements": "OAM", "lensometry": "LEN"}


def item(**values: Any) -> Dataset:
    """A data set of these keywords; a dict or list of dicts becomes a sequence."""
    made = Dataset()
    for keyword, value in values.items():
        if isinstance(value, dict):
            value = [item(**value)]
        elif isinstance(value, list) and value and isinstance(value[0], dict):
            value = [item(**one) for one in value]
        setattr(made, keyword, value)
    return made


def code(value: str, meaning: str, scheme: str = "DCM") -> dict[str, str]:
    return {"CodeValue": value, "CodingSchemeDesignator": scheme, "CodeMeaning": meaning}


OWN_LENS: Final = code("247049005", "Crystalline lens", "SCT")
NO_LENS: Final = code("24010005", "Aphakic", "SCT")


def file_bytes(
    kind: str, content: dict[str, Any], *, syntax: str = ExplicitVRLittleEndian, label: str | None = None,
    laterality: str = "B",
) -> bytes:
    """A whole file; ``label`` puts another class into its head than into its content."""
    head = FileMetaDataset()
    head.MediaStorageSOPClassUID = _BASE + CLASSES[label or kind]
    head.MediaStorageSOPInstanceUID = generate_uid(entropy_srcs=["guyline", kind])
    head.TransferSyntaxUID = syntax
    held = io.BytesIO()
    made = FileDataset(held, item(**_common(kind, laterality), **content), file_meta=head, preamble=b"\0" * 128,
                       is_implicit_VR=syntax == "1.2.840.10008.1.2", is_little_endian=syntax != "1.2.840.10008.1.2.2")
    made.SOPInstanceUID = head.MediaStorageSOPInstanceUID
    made.save_as(held, enforce_file_format=True)
    return held.getvalue()


def _common(kind: str, laterality: str) -> dict[str, Any]:
    return {
        "SOPClassUID": _BASE + CLASSES[kind], "StudyInstanceUID": generate_uid(entropy_srcs=["study", kind]),
        "SeriesInstanceUID": generate_uid(entropy_srcs=["series", kind]), "Modality": _MODALITY[kind],
        "PatientName": NAME, "PatientID": NUMBER, "PatientBirthDate": BORN, "PatientSex": "F",
        "StudyDate": "20260511", "StudyTime": "090000", "ReferringPhysicianName": NAME, "StudyID": "1",
        "AccessionNumber": NUMBER, "SeriesNumber": "1", "InstanceNumber": "1", "ContentDate": "20260511",
        "ContentTime": "090000", "Manufacturer": "Invented", "ManufacturerModelName": "Invented",
        "DeviceSerialNumber": NUMBER, "SoftwareVersions": "1", "PatientComments": NAME,
        "PerformedProcedureStepStartDate": "20260511", "PerformedProcedureStepStartTime": "090000",
        "PerformedProcedureStepID": "1", "ReferencedPerformedProcedureStepSequence": REFERENCE,
        "MeasurementLaterality": laterality,
    }


def axis(radius_mm: float, power_d: float | None, axis_deg: float | None) -> dict[str, Any]:
    return {"RadiusOfCurvature": radius_mm, "KeratometricPower": power_d, "KeratometricAxis": axis_deg}


def keratometry(**options: Any) -> bytes:
    """Right 7.80/7.50, left 7.90/7.60, powers with index 1.3315 (not this program's)."""
    def eye(flat: float, steep: float) -> dict[str, Any]:
        return {"SteepKeratometricAxisSequence": axis(steep, round(331.5 / steep, 4), 95.0),
                "FlatKeratometricAxisSequence": axis(flat, round(331.5 / flat, 4), 5.0)}

    return file_bytes("keratometry", {"KeratometryRightEyeSequence": eye(7.8, 7.5),
                                      "KeratometryLeftEyeSequence": eye(7.9, 7.6)}, **options)


def axial(
    *, device: str = "OPTICAL", method: dict[str, str] | None = None, definition: dict[str, str] | None = None,
    selected: bool = True, sides: tuple[str, ...] = ("Right", "Left"), lens: dict[str, str] = OWN_LENS,
    **options: Any,
) -> bytes:
    """Right 23.51, left 23.02, each measured twice and the chosen length in between; chamber 3.12."""
    modified = {"OphthalmicAxialLengthMeasurementModified": "NO"}
    quality = {"OphthalmicAxialLengthQualityMetricSequence": {
        "NumericValue": "9", "ConceptNameCodeSequence": code("111786", "Standard Deviation of measurements used"),
        "MeasurementUnitsCodeSequence": code("mm", "mm", "UCUM")}}
    source = {"OphthalmicAxialLengthDataSourceCodeSequence": code("111780", "Measurement From This Device")}
    kind = {"OPTICAL": "Optical", "ULTRASOUND": "Ultrasound"}[device]
    about = {"Optical": {**source, "SignalToNoiseRatio": 9.0},
             "Ultrasound": {**source, "ObserverType": "PSN", "OphthalmicAxialLengthVelocity": 1532.0}}[kind]
    related = {f"{kind}OphthalmicAxialLengthMeasurementsSequence": about}

    def one(length: float) -> dict[str, Any]:
        return {"OphthalmicAxialLength": length, **modified, "ReferencedOphthalmicAxialLengthMeasurementQCImageSequence":
                IMAGE, **related}

    def eye(length: float) -> dict[str, Any]:
        total = {"OphthalmicAxialLengthMeasurementsType": "TOTAL LENGTH"}
        selection = {"OphthalmicAxialLengthSelectionMethodCodeSequence": code("121410", "User chosen value"), **quality,
                     "ReferencedOphthalmicAxialLengthMeasurementQCImageSequence": IMAGE}
        inner = {"Ultrasound": {"OphthalmicAxialLength": length},
                 "Optical": {"SelectedTotalOphthalmicAxialLengthSequence": {
                     "OphthalmicAxialLength": length, **selection}}}[kind]
        chosen = {f"{kind}SelectedOphthalmicAxialLengthSequence": {
            **inner, **(selection if kind == "Ultrasound" else {})}} if selected else {}
        depth = {"AnteriorChamberDepthSequence": {
            "AnteriorChamberDepth": 3.12, "AnteriorChamberDepthDefinitionCodeSequence": definition},
            "CornealSizeSequence": {"CornealSize": 11.8}} if definition else {}
        return {
            "LensStatusCodeSequence": lens,
            "VitreousStatusCodeSequence": code("372242005", "Vitreous Only", "SCT"), "PupilDilated": "NO", **total,
            "OphthalmicAxialLengthMeasurementsSequence": [
                {**total, "OphthalmicAxialLengthMeasurementsTotalLengthSequence": one(length + off)}
                for off in (-0.01, 0.01)],
            **chosen, **depth,
        }

    lengths = {"Right": 23.51, "Left": 23.02}
    content = {f"OphthalmicAxialMeasurements{side}EyeSequence": eye(lengths[side]) for side in sides}
    return file_bytes("ophthalmic axial measurements",
                      {"OphthalmicAxialMeasurementsDeviceType": device,
                       **({"OphthalmicUltrasoundMethodCodeSequence": method} if method else {}), **content}, **options)


def refraction(kind: str = "subjective refraction", *, sphere: float = -1.25, cylinder: float | None = 1.0,
               axis_deg: float | None = 180.0, **options: Any) -> bytes:
    """The right eye as written with a plus cylinder; the same as -0.25 -1.00 x 90."""
    name = {"subjective refraction": "SubjectiveRefraction", "autorefraction": "Autorefraction"}[kind]
    bent = {} if cylinder is None else {"CylinderSequence": {
        "CylinderPower": cylinder, **({} if axis_deg is None else {"CylinderAxis": axis_deg})}}
    return file_bytes(kind, {f"{name}RightEyeSequence": {"SpherePower": sphere, **bent, "VertexDistance": 12.0}},
                      **options)


def acuity(
    decimal: float = 0.5, kind: dict[str, str] | None = None, *, letters: tuple[int, int] = (0, 0),
    view: str = "DISTANCE", **options: Any,
) -> bytes:
    """The right eye, by default uncorrected or corrected as nobody said."""
    return file_bytes("visual acuity", {
        **({"VisualAcuityTypeCodeSequence": kind} if kind else {}), "ViewingDistanceType": view,
        "ReferencedRefractiveMeasurementsSequence": REFERENCE, "BackgroundColor": "WHITE",
        "Optotype": "LETTERS", "OptotypeDetailedDefinition": "Sloan letters", "OptotypePresentation": "MULTIPLE",
        "VisualAcuityRightEyeSequence": {"DecimalVisualAcuity": decimal, "VisualAcuityModifiers": list(letters)}}, **options)
