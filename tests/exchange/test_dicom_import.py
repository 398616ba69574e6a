"""DICOM measurements: what is offered, what is refused, and that nobody is named."""

from __future__ import annotations

import base64
import json
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pycore.api.boundary import answer
from pycore.errors import GuylineError
from tests.exchange.dicom_files import (
    BORN,
    NAME,
    NUMBER,
    acuity,
    axial,
    axis,
    code,
    file_bytes,
    keratometry,
    refraction,
)

FRONT, BACK = code("111776", "Front Of Cornea To Front Of Lens"), code("111777", "Back Of Cornea To Front Of Lens")
FILES = {
    "keratometry": keratometry(), "axial": axial(), "refraction": refraction(),
    "immersion": axial(device="ULTRASOUND", method=code("111751", "Ultrasound Immersion")),
    "autorefraction": refraction("autorefraction"),
    "acuity": acuity(kind=code("419775003", "Best Corrected Visual Acuity", "SCT")),
}
Answer = dict[str, Any]


def read(data: bytes, eye: str = "right", **values: Any) -> Answer:
    value: Answer = answer("dicom_read", {"bytes_base64": base64.b64encode(data).decode(), "eye": eye,
                                          "values": values})["value"]
    return value


def own(data: bytes, eye: str = "right", **values: Any) -> list[Answer]:
    """Candidates of the eye's own side."""
    return [one for one in read(data, eye, **values)["candidates"] if one["side"] == eye]


def patch(way: Answer) -> Answer:
    return {value["path"].split(".")[1]: value["value"] for value in way["values"]}


def code_of(data: bytes) -> str:
    with pytest.raises(GuylineError) as caught:
        read(data)
    return caught.value.code


def test_keratometry_offers_radii_with_the_files_own_index_told() -> None:
    flat, steep, meridian = own(keratometry())
    assert (flat["field"], flat["value"], steep["value"], meridian["value"]) == ("r1_mm", 7.8, 7.5, 95.0)
    # 337.5 / 7.8 = 43.27; the file's own 331.5 / 7.8 = 42.50 rests on index 1.3315.
    assert [patch(way) for way in flat["ways"]] == [
        {"r1_mm": 7.8, "k_unit": "mm"}, {"k1_d": 43.27, "k_unit": "d"}]
    assert "42.50 D" in flat["about"][0]
    assert "1.3315" in flat["about"][0]


def test_a_stated_keratometer_index_is_told_as_it_is() -> None:
    eye = {"SteepKeratometricAxisSequence": axis(7.5, 44.2, 95.0), "FlatKeratometricAxisSequence": axis(7.8, None, None)}
    data = file_bytes("keratometry", {"KeratometryRightEyeSequence": eye, "KeratometerIndex": 1.332})
    flat, steep, _ = own(data)
    assert flat["about"][0] == "The file's keratometer index is 1.3320, not this program's."
    assert steep["about"][0] == "The file's keratometer index is 1.3320, not this program's and power 44.20 D."


def test_a_cornea_that_contradicts_itself_cannot_be_taken() -> None:
    eye = {"SteepKeratometricAxisSequence": axis(7.8, None, 95.0), "FlatKeratometricAxisSequence": axis(7.5, None, 5.0)}
    flat, steep, _ = own(file_bytes("keratometry", {"KeratometryRightEyeSequence": eye}))
    assert flat["ways"] == steep["ways"] == []
    assert "contradicts itself" in flat["refused"]


def test_the_chosen_length_is_offered_with_how_it_was_measured() -> None:
    (length,) = own(axial())
    assert patch(length["ways"][0]) == {"axial_length_mm": 23.51, "axial_method": "optical"}
    assert length["about"][0] == "Chosen in the biometer."
    (immersion,) = own(FILES["immersion"])
    assert patch(immersion["ways"][0])["axial_method"] == "immersion"


def test_without_a_choice_every_length_is_offered_and_no_method_is_guessed() -> None:
    lengths = own(axial(device="ULTRASOUND", selected=False))
    assert [patch(one["ways"][0]) for one in lengths] == [{"axial_length_mm": 23.5}, {"axial_length_mm": 23.52}]
    assert "not stated" in lengths[0]["about"][1]


@pytest.mark.parametrize(("definition", "taken"), [(FRONT, True), (BACK, False), (code("9", "?", "99X"), False)])
def test_a_chamber_depth_travels_with_its_definition(definition: dict[str, str], taken: bool) -> None:
    depth = next(one for one in own(axial(definition=definition)) if one["field"] == "phakic_acd_mm")
    assert bool(depth["ways"]) is taken
    assert (depth["refused"] is None) is taken


def test_refraction_is_transposed_and_acuity_becomes_logmar() -> None:
    (found,) = own(refraction())
    assert patch(found["ways"][0]) == {"refraction_method": "subjective", "sphere_d": -0.25, "cylinder_d": -1.0,
                                       "axis_deg": 90.0, "vertex_mm": 12.0}
    assert patch(own(FILES["autorefraction"])[0]["ways"][0])["refraction_method"] == "autorefractor"
    # logMAR is minus the decimal logarithm: 0.5 gives 0.30 (ISO 8596).
    assert patch(own(FILES["acuity"])[0]["ways"][0]) == {"cdva_logmar": 0.3}
    both = own(acuity())[0]["ways"]
    assert [patch(way) for way in both] == [{"udva_logmar": 0.3}, {"cdva_logmar": 0.3}]


def test_the_other_eye_is_refused_with_the_reason() -> None:
    other = [one for one in read(keratometry())["candidates"] if one["side"] == "left"]
    assert len(other) == 3
    assert all(one["ways"] == [] and "this is the right eye" in one["refused"] for one in other)
    with pytest.raises(GuylineError, match="only the left eye") as caught:
        read(axial(sides=("Left",)))
    assert caught.value.code == "inconsistent"


def test_a_conflict_with_what_was_typed_is_shown_beside_it() -> None:
    (length,) = own(axial(), **{"measurements.axial_length_mm": 23.4, "measurements.axial_method": "optical"})
    (way,) = length["ways"]
    assert way["conflict"]
    assert [(value["now"], value["differs"]) for value in way["values"]] == [(23.4, True), ("optical", False)]
    assert not own(axial(), **{"measurements.axial_length_mm": 23.51})[0]["ways"][0]["conflict"]


@pytest.mark.parametrize("name", FILES)
def test_nobody_is_named(name: str) -> None:
    assert NUMBER.encode() in FILES[name]
    text = json.dumps(read(FILES[name]))
    for secret in (*NAME.split("^"), NUMBER, BORN, "20260511"):
        assert secret not in text


def test_files_that_are_not_whole_not_plain_or_not_what_they_say() -> None:
    good = FILES["keratometry"]
    assert code_of(b"") == code_of(b"GIF89a" * 50) == "file_wrong_kind"
    assert code_of(file_bytes("lensometry", {})) == "file_wrong_kind"
    assert code_of(file_bytes("keratometry", {}, label="visual acuity")) == "file_damaged"
    assert code_of(file_bytes("keratometry", {})) == "file_damaged"
    assert code_of(good + b"\0" * 4_000_000) == "file_too_large"
    assert code_of(good[:300]) == "file_damaged"
    syntax = good.replace(b"1.2.840.10008.1.2.1\0", b"1.2.840.10008.9.9.9\0")
    assert syntax != good
    assert code_of(syntax) == "file_transfer_syntax"
    sealed = file_bytes("keratometry", {"EncryptedAttributesSequence": [{
        "EncryptedContentTransferSyntaxUID": "1.2.840.10008.1.2.1", "EncryptedContent": b"12"}]})
    assert code_of(sealed) == "file_transfer_syntax"


@pytest.mark.parametrize("syntax", ["1.2.840.10008.1.2", "1.2.840.10008.1.2.1", "1.2.840.10008.1.2.2",
                                    "1.2.840.10008.1.2.1.99"])
def test_every_plain_way_of_writing_reads_the_same(syntax: str) -> None:
    found, known = own(axial(syntax=syntax)), own(axial())
    assert [one["value"] for one in found] == [one["value"] for one in known]
    cut = axial(syntax=syntax)[:-45]
    assert code_of(cut) == "file_damaged"


def test_a_value_no_eye_can_have_cannot_be_taken() -> None:
    eye = {"SteepKeratometricAxisSequence": axis(75.0, None, 95.0), "FlatKeratometricAxisSequence": axis(78.0, None, 5.0)}
    flat, *_ = own(file_bytes("keratometry", {"KeratometryRightEyeSequence": eye}))
    assert flat["ways"] == []
    assert "not a possible value" in flat["refused"]


@pytest.mark.parametrize("name", ["keratometry", "axial", "acuity"])
def test_a_file_cut_anywhere_gives_true_values_or_a_named_error(name: str) -> None:
    """A cut between two elements cannot be seen; the values before it are still the file's own."""
    whole = {(one["side"], one["field"], one["value"]) for one in read(FILES[name])["candidates"]}
    for end in range(0, len(FILES[name]), 13):
        try:
            found = {(one["side"], one["field"], one["value"]) for one in read(FILES[name][:end])["candidates"]}
        except GuylineError:
            continue
        assert found <= whole, end


@given(st.binary(max_size=60), st.integers(132, 1300), st.integers(1, 40))
def test_damaged_bytes_never_raise_anything_but_a_named_error(junk: bytes, start: int, length: int) -> None:
    good = FILES["keratometry"]
    try:
        read(good[:start] + junk + good[start + length:])
    except GuylineError as error:
        assert error.code.startswith("file_") or error.code == "inconsistent"


@pytest.mark.skipif(shutil.which("dciodvfy") is None, reason="Debian's dicom3tools is not installed")
@pytest.mark.parametrize("name", FILES)
def test_the_files_of_these_tests_follow_the_standard(name: str, tmp_path: Path) -> None:
    """Judged by an independent checker; it is too old to know the tag of the vertex distance."""
    path = tmp_path / "file.dcm"
    path.write_bytes(FILES[name])
    done = subprocess.run(["dciodvfy", path], capture_output=True, text=True)
    errors = [line for line in (done.stdout + done.stderr).splitlines()
              if line.startswith("Error") and "0x0022,0x000f" not in line]
    assert errors == []
