"""Conversions of acuity against printed tables.

LINES: Visual Functions Committee of the International Council of Ophthalmology, Visual Acuity
Measurement Standard, 1984 (decimal names of the lines), with the 20/x and 6/x names of the same
lines as in the table of Holladay JT, J Refract Surg 1997;13:388-391 (read in a text that quotes
it; the lines -0.2 and -0.3 from memory). Each column names the same line, so all three must give
one logMAR.
"""

from __future__ import annotations

import math

import pytest

from pycore.optics.acuity import Acuity, parse

#: logMAR, decimal, 20/x, 6/x.
LINES = [
    (1.0, "0.1", "200", "60"), (0.9, "0.125", "160", "48"), (0.8, "0.16", "125", "38"),
    (0.7, "0.2", "100", "30"), (0.6, "0.25", "80", "24"), (0.5, "0.32", "63", "19"),
    (0.4, "0.4", "50", "15"), (0.3, "0.5", "40", "12"), (0.2, "0.63", "32", "9.5"),
    (0.1, "0.8", "25", "7.5"), (0.0, "1.0", "20", "6"), (-0.1, "1.25", "16", "4.8"),
    (-0.2, "1.6", "12.5", "3.8"), (-0.3, "2.0", "10", "3"),
]  # fmt: skip

#: Off the standard lines, logMAR to two decimals: same source (1997 table).
BETWEEN = [("20/30", 0.18), ("20/60", 0.48), ("20/70", 0.54), ("20/150", 0.88), ("20/400", 1.30)]


def number(text: str, notation: str | None = None) -> float:
    found = parse(text, notation)
    assert isinstance(found, Acuity)
    assert found.logmar is not None
    return found.logmar


@pytest.mark.parametrize(("logmar", "decimal", "feet", "metre"), LINES)
def test_the_names_of_a_line_are_one_acuity(logmar: float, decimal: str, feet: str, metre: str) -> None:
    assert number(decimal, "decimal") == logmar
    assert number(f"20/{feet}") == logmar
    assert number(f"6/{metre}") == logmar
    assert number(f"{logmar}", "logmar") == logmar


@pytest.mark.parametrize(("text", "logmar"), BETWEEN)
def test_between_the_lines(text: str, logmar: float) -> None:
    assert number(text) == pytest.approx(logmar, abs=0.005)


@pytest.mark.parametrize(("logmar", "decimal"), [(line[0], line[1]) for line in LINES])
def test_a_printed_name_is_its_step_rounded(logmar: float, decimal: str) -> None:
    """ISO 8596: sizes step by 10^0.1 (from memory); two printed figures are within 2 %."""
    assert float(decimal) == pytest.approx(10**-logmar, rel=0.02)


@pytest.mark.parametrize("text", ["3/60", "4/18", "2/60", "5/6"])
def test_another_test_distance_is_a_fraction(text: str) -> None:
    over, under = map(float, text.split("/"))
    assert number(text) == pytest.approx(math.log10(under / over), abs=1e-12)
