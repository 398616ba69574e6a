"""The CSV text: RFC 4180, exact numbers, no formula that a spreadsheet would run."""

from __future__ import annotations

import csv
import io
import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pycore.errors import NotFinite, WrongType
from pycore.exchange.csv_text import csv_text, guarded, number_text

FINITE = st.floats(allow_nan=False, allow_infinity=False) | st.integers(-(10**18), 10**18)
ASCII = st.text(st.characters(min_codepoint=0, max_codepoint=127), max_size=12)
#: First characters that spreadsheets run: OWASP, CSV injection; CWE-1236.
DANGEROUS = "=+-@\t\r\n"


def parsed(text: str) -> list[list[str]]:
    return list(csv.reader(io.StringIO(text, newline=""), strict=True))


@given(FINITE)
def test_a_number_reads_back_as_the_very_same_number(value: float) -> None:
    text = number_text(value)
    assert re.fullmatch(r"-?\d+(\.\d+)?", text)
    assert (int(text) if isinstance(value, int) else float(text)) == value


@given(st.lists(st.lists(FINITE | st.none() | st.booleans(), min_size=3, max_size=3), max_size=5))
def test_lines_of_numbers_survive_pythons_csv_reader(lines: list[list[float | bool | None]]) -> None:
    def back(cell: str) -> float | bool | None:
        words = {"": None, "true": True, "false": False}
        return words[cell] if cell in words else float(cell)

    read = parsed(csv_text(("a", "b", "c"), lines))
    assert read[0] == ["a", "b", "c"]
    for line, cells in zip(lines, read[1:], strict=True):
        assert [back(cell) for cell in cells] == [
            value if value is None or isinstance(value, bool) else float(value) for value in line
        ]


@given(st.lists(ASCII, min_size=2, max_size=4))
def test_text_survives_and_never_starts_a_formula(cells: list[str]) -> None:
    read = parsed(csv_text(["x"] * len(cells), [cells]))[1]
    assert read == [f"'{cell}" if cell[:1] and cell[0] in DANGEROUS else cell for cell in cells]
    assert not any(cell[:1] and cell[0] in DANGEROUS for cell in read)


@pytest.mark.parametrize("first", DANGEROUS)
def test_each_dangerous_first_character_gets_an_apostrophe(first: str) -> None:
    assert guarded(f"{first}cmd") == f"'{first}cmd"


@pytest.mark.parametrize("value", [-0.25, -3, -1e-9, -17.125])
def test_a_negative_number_is_never_guarded(value: float) -> None:
    assert csv_text(["x"], [[value]]).split("\r\n")[1][0] == "-"


def test_lines_end_in_crlf_and_special_cells_are_quoted() -> None:
    # RFC 4180 sections 2.1, 2.6 and 2.7.
    assert csv_text(["a", "b"], [['x,"y"', "p\nq"]]) == 'a,b\r\n"x,""y""","p\nq"\r\n'


def test_absent_true_and_false() -> None:
    assert csv_text(["a", "b", "c"], [[None, True, False]]) == "a,b,c\r\n,true,false\r\n"


def test_numbers_have_no_plus_no_exponent_and_no_needless_digits() -> None:
    assert [number_text(value) for value in (1e22, 1.5e-7, 0.1, 43.0, -0.0, 7)] == [
        "10000000000000000000000", "0.00000015", "0.1", "43", "0", "7"]


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, 10**400])
def test_what_is_not_finite_is_refused(value: float) -> None:
    with pytest.raises(NotFinite):
        csv_text(["a"], [[value]])


def test_letters_beyond_ascii_are_refused_so_that_no_encoding_mark_is_needed() -> None:
    with pytest.raises(WrongType):
        csv_text(["a"], [["\u00b5m"]])


def test_a_line_of_another_length_is_refused() -> None:
    with pytest.raises(WrongType, match="2 cells"):
        csv_text(["a"], [[1, 2]])
