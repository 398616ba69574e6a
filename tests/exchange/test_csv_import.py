"""Foreign tables: how they are written, what each line becomes, and everything that is refused."""

from __future__ import annotations

import base64
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pycore.api.boundary import answer
from pycore.errors import GuylineError
from pycore.exchange.csv_import import MOST_ROWS

NOW = "2026-11-20T12:00:00Z"
HEADER = "side,AL,K1,K2,IOL power,A constant,target,days,sphere,cylinder,axis"
LINE = "OD,23.51,43.25,44.5,21.5,118.7,-0.5,35,-0.25,-1,90"
OTHER = "left,22.1,42,43,23,118.7,-0.5,40,0.5,0,"
Answer = dict[str, Any]


def b64(data: bytes) -> str:
    return base64.b64encode(data).decode()


def look(data: bytes) -> Answer:
    value: Answer = answer("csv_look", {"head_base64": b64(data), "whole": True, "size_bytes": len(data)})["value"]
    return value


def rows(data: bytes, *, seen: Answer | None = None, size: int | None = None, **options: Any) -> Answer:
    """The whole file through csv_rows, in pieces of ``size`` bytes as the screen sends them."""
    seen = seen or look(data)
    columns = options.pop("columns", [column["suggested"] for column in seen["columns"]])
    carried: Answer = {"persons": {}, "prints": {}, "rest": ""}
    made: Answer = {"cases": [], "rejected": []}
    size, start, row = size or len(data), 0, 2
    while start < len(data):
        piece = answer("csv_rows", {
            "bytes_base64": b64(data[start:start + size]), "first": start == 0, "last": start + size >= len(data),
            "shape": seen["shape"], "columns": columns, "decimal_mark": seen["decimal_mark"],
            "date_order": seen["date_order"], "now": NOW, "first_row": row, **carried, **options})["value"]
        carried = {key: piece[key] for key in carried}
        made = {key: made[key] + piece[key] for key in made}
        start, row = start + min(size, len(data) - start) - piece["left_bytes"], row + piece["rows"]
    return made


def table(*lines: str, header: str = HEADER) -> bytes:
    return "\r\n".join([header, *lines, ""]).encode()


def refused(data: bytes) -> str:
    with pytest.raises(GuylineError) as caught:
        rows(data)
    return caught.value.code


def test_a_line_becomes_a_marked_record_with_its_visit() -> None:
    (case,) = rows(table(LINE))["cases"]
    assert (case["eye"], case["measurements"]["axial_length_mm"], case["measurements"]["k_unit"]) == ("right", 23.51, "d")
    assert (case["lens"]["lens_power_d"], case["lens"]["a"], case["plan"]["target_d"]) == (21.5, 118.7, -0.5)
    assert case["follow_ups"] == [{"id": "imported-1", "days_after": 35, "sphere_d": -0.25, "cylinder_d": -1.0,
                                   "axis_deg": 90.0}]
    assert case["imported"]["at"] == NOW


@pytest.mark.parametrize(("separator", "mark"), [
    (",", "."), (";", "."), ("\t", "."), ("|", "."), (";", ","), ("\t", ","), ("|", ",")])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_every_common_way_of_writing_reads_the_same(separator: str, mark: str, encoding: str) -> None:
    text = "\n".join([HEADER + ",Größe", LINE + ",x", OTHER + ",é"]).replace(",", "\0").replace(".", mark)
    data = text.replace("\0", separator).encode(encoding)
    found = rows(data)
    assert found["rejected"] == []
    assert [case["measurements"]["axial_length_mm"] for case in found["cases"]] == [23.51, 22.1]
    assert found["cases"][1]["follow_ups"][0]["sphere_d"] == 0.5


def test_a_decimal_comma_in_quotes_between_commas() -> None:
    (case,) = rows(table('right,"23,51","43,25"', header="eye,AL,K1"))["cases"]
    assert case["measurements"]["k1_d"] == 43.25


@pytest.mark.parametrize("size", [7, 64, 200])
@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16"])
def test_pieces_of_any_size_give_the_same_records(size: int, encoding: str) -> None:
    lines = [f"left,22.{number:02d},42,43,23,118.7,-0.5,40,0.5,0," for number in range(20)]
    data = table('right,23.5,43,44,21,118.7,0,35,-0.25,0,', *lines).decode().encode(encoding)
    whole, pieces = rows(data), rows(data, size=size)
    values = [[case["measurements"] for case in found["cases"]] for found in (whole, pieces)]
    assert values[0] == values[1]
    assert len(values[0]) == 21


@pytest.mark.parametrize(
    ("line", "why"),
    [
        (LINE.replace("OD", ""), "never assumed"),
        (LINE.replace("OD", "both"), "none of: right, left"),
        (LINE.replace("23.51", "23,51").replace("OD", "OD"), "cells"),
        (LINE.replace("23.51", '"23,51"'), "another decimal mark"),
        (LINE.replace("23.51", "23.51 mm"), "leave units"),
        (LINE.replace("23.51", "235"), "beyond 14 to 40 mm"),
        (LINE.replace("23.51", "=A1+1"), "formula"),
        (LINE.replace("23.51", "+cmd|'/c calc'!A0"), "formula"),
        (LINE.replace("23.51", "\u0662\u0663"), "not a number"),
        (LINE.replace(",90", ","), "Axis: the cylinder has none"),
        (LINE.replace(",35,", ",,"), "neither a date nor days"),
        (LINE.replace("-1,90", ",90"), "no cylinder beside it"),
        (LINE.replace("43.25", "7.8"), "looks like"),
        ("OD,,,,21.5,118.7,-0.5,35,-0.25,-1,90", "no measurement"),
        (LINE + ",1", "12 cells; the line of names has 11"),
    ],
)
def test_a_line_is_rejected_with_its_number_and_reason(line: str, why: str) -> None:
    found = rows(table(OTHER, line))
    assert len(found["cases"]) == 1
    assert found["rejected"][0]["row"] == 3
    if why == "looks like":
        assert "7.8" in found["rejected"][0]["why"]
    else:
        assert why in found["rejected"][0]["why"]


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"PK\x03\x04rest", "file_wrong_kind"),
        (b"%PDF-1.7 ...", "file_wrong_kind"),
        (b"eye,AL\r\nright,23\x00.5\r\n", "file_nul_bytes"),
        (table(LINE, OTHER.replace(",", ";")), "file_mixed_separators"),
        (table(LINE, header=HEADER.replace("K2", "K1")), "file_bad_header"),
        (b"1.0,2.0,3.0\r\n4,5,6\r\n", "file_bad_header"),
        (b"", "file_bad_header"),
        (b"only one name\r\nx\r\n", "file_bad_header"),
        (table('right,"23.5,43'), "file_open_quote"),
        (table(OTHER).replace(b"left", b"l\x81ft"), "file_encoding"),
        ("eye,AL\nright,23\n".encode("utf-16-le"), "file_nul_bytes"),
    ],
)
def test_a_file_is_refused_by_name(data: bytes, code: str) -> None:
    if data.startswith(b"PK"):
        assert look(data) == {"kind": "archive"}
        with pytest.raises(GuylineError) as caught:
            answer("import_archive", {"bytes_base64": b64(data)})
        assert caught.value.code == "file_damaged"
        return
    assert refused(data) == code


def test_a_million_lines_are_refused_before_they_are_read() -> None:
    head = table(*[LINE] * 500)
    with pytest.raises(GuylineError, match=str(MOST_ROWS)) as caught:
        answer("csv_look", {"head_base64": b64(head), "whole": False, "size_bytes": len(head) * 2000})
    assert caught.value.code == "file_too_large"


def test_lines_beyond_the_most_are_refused_wherever_they_come() -> None:
    seen = look(table(LINE))
    with pytest.raises(GuylineError, match=str(MOST_ROWS)):
        rows(table(LINE), seen=seen, first_row=MOST_ROWS + 2)


def test_text_in_other_writing_is_left_alone_and_marks_of_direction_do_not_hide_a_value() -> None:
    data = table("\u202e\u0645\u0631\u064a\u0636\u202c,right,\u200e23.5", header="\u0627\u0644\u0627\u0633\u0645,eye,AL")
    seen = look(data)
    assert [column["suggested"] for column in seen["columns"]] == [None, "eye", "axial_length_mm"]
    (case,) = rows(data)["cases"]
    assert case["measurements"]["axial_length_mm"] == 23.5
    assert "\u0645" not in str(case)


def test_columns_that_are_not_matched_are_never_read() -> None:
    data = table(LINE + ",Mrs Example", header=HEADER + ",surname")
    assert "Example" not in str(rows(data))


def test_dates_need_their_order_and_become_what_the_record_writes() -> None:
    header = "eye,AL,surgery date,visit date,se"
    seen = look(table("right,23.5,03.04.2021,05.05.2021,-0.5", header=header))
    assert seen["date_order"] is None
    assert look(table("right,23.5,13.04.2021,05.05.2021,-0.5", header=header))["date_order"] == "dmy"
    data = table("right,23.5,03.04.2021,08.05.2021,-0.5", header=header)
    (case,) = rows(data, seen={**seen, "date_order": "dmy"})["cases"]
    assert (case["surgery_on"], case["follow_ups"][0]["on"]) == ("2021-04-03", "2021-05-08")
    (why,) = rows(data, seen=seen)["rejected"]
    assert "whether day or month comes first" in why["why"]
    (short,) = rows(table("right,23.5,03.04.21,08.05.2021,-0.5", header=header), seen={**seen, "date_order": "dmy"})["rejected"]
    assert "two digits" in short["why"]


def test_plus_cylinders_are_transposed() -> None:
    # -1.25 +1.00 x 180 is -0.25 -1.00 x 90 (textbook transposition).
    (case,) = rows(table(LINE.replace("-0.25,-1,90", "-1.25,1,180")))["cases"]
    visit = case["follow_ups"][0]
    assert (visit["sphere_d"], visit["cylinder_d"], visit["axis_deg"]) == (-0.25, -1.0, 90.0)


def test_values_for_every_line_fill_what_the_table_lacks_and_never_the_eye() -> None:
    fixed = {"axial_method": "optical", "keratometry_method": "table", "outcome_refraction_method": "subjective",
             "cornea": "ordinary"}
    data = table(*[LINE.replace("23.51", f"23.{number:02d}") for number in range(12)])
    found = rows(data, fixed=fixed)["cases"]
    taught = answer("learn", {"cases": found, "formula": "srkt"})["value"]
    assert taught["eyes"] == 12, taught["left_out"]
    with pytest.raises(GuylineError, match="same for every line"):
        rows(data, fixed={"eye": "right"})


def test_the_same_eye_twice_in_a_file_and_a_second_import() -> None:
    first = rows(table(LINE, OTHER, LINE))
    assert first["rejected"] == [{"row": 4, "why": "the same eye stands in line 2"}]
    known = [case["imported"]["fingerprint"] for case in first["cases"]]
    other_columns = table(LINE + ",note", header=HEADER + ",remarks")
    assert rows(other_columns, known=known)["cases"] == []


@given(st.binary(max_size=300))
def test_any_bytes_give_rows_or_a_named_error(data: bytes) -> None:
    try:
        seen = look(data)
        if seen["kind"] == "table":
            rows(data, seen=seen, columns=[None] * len(seen["columns"]))
    except GuylineError as error:
        assert error.code.startswith("file_")


def test_a_quotation_mark_inside_a_cell_over_two_lines_is_refused_by_name() -> None:
    """The line ends between two marks, but no cell begins with one."""
    with pytest.raises(GuylineError) as caught:
        look(f'{HEADER}\nO"D,23.51\nle"ft,1\n'.encode())
    assert caught.value.code == "file_open_quote"
