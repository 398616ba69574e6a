"""Distance acuity as it is written down: decimal, 6/x, 20/x, logMAR, or a low-vision word.

Equations (``n/d`` is test distance over the distance at which the line subtends 5 minutes)::

    decimal = n / d        logMAR = log10(1 / decimal) = log10(d / n)

Lines of a standard chart differ by a factor of 10^0.1 (0.1 logMAR); their printed names are
rounded, so a standard name stands for its step exactly: 6/12, 20/40 and 0.5 are all 0.30
logMAR. Any other number is converted as it is. A larger logMAR is worse.

Counting fingers, hand movements, light perception and none are words, never numbers: no
logMAR is made up for them, so that they cannot be averaged. A plain number without a sign
could be decimal or logMAR (0.1 is 6/60 or 6/7.5); it is read only with its notation.

Valid range: -0.40 to 2.00 logMAR (20/8 to 20/2000). Errors: :class:`WrongType` for text that is
no acuity, :class:`OutOfRange` beyond the range.

Sources: Holladay JT, J Refract Surg 1997;13:388-391 (conversion; acuities are averaged as
logMAR); Visual Functions Committee of the International Council of Ophthalmology, Visual
Acuity Measurement Standard, 1984 (lines, their names); ISO 8596 (the same series, value from
memory). Checked by ``tests/published/test_acuity.py``, ``tests/unit/test_acuity.py``.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from pycore.errors import OutOfRange, WrongType
from pycore.words import say

#: Best and worst acuity that is a number, logMAR.
BEST_LOGMAR: Final = -0.4
WORST_LOGMAR: Final = 2.0
#: Test distances that name a notation.
METRES: Final = 6.0
FEET: Final = 20.0

#: Names of the standard lines from -0.3 to 1.0 logMAR, in tenths: decimal, 6/x, 20/x.
LINES: Final[tuple[tuple[str, str, str], ...]] = (
    ("2.0", "3", "10"), ("1.6", "3.8", "12.5"), ("1.25", "4.8", "16"), ("1.0", "6", "20"),
    ("0.8", "7.5", "25"), ("0.63", "9.5", "32"), ("0.5", "12", "40"), ("0.4", "15", "50"),
    ("0.32", "19", "63"), ("0.25", "24", "80"), ("0.2", "30", "100"), ("0.16", "38", "125"),
    ("0.125", "48", "160"), ("0.1", "60", "200"),
)  # fmt: skip
_FIRST_TENTH: Final = -3

#: Ways of writing the low-vision words, lower case without blanks.
LOW_WORDS: Final[dict[str, str]] = {
    "cf": "cf", "fc": "cf", "countingfingers": "cf",
    "hm": "hm", "handmotion": "hm", "handmovements": "hm", "handmotions": "hm",
    "lp": "lp", "pl": "lp", "lightperception": "lp",
    "nlp": "nlp", "npl": "nlp", "nolightperception": "nlp",
}  # fmt: skip

_DASHES: Final = str.maketrans(dict.fromkeys("\u2212\u2010\u2011\u2012\u2013\ufe63\uff0d", "-"))
_FRACTION: Final = re.compile(r"(\d{1,3}(?:\.\d{1,2})?)/(\d{1,4}(?:\.\d{1,2})?)")
_NUMBER: Final = re.compile(r"[+-]?\d{1,2}(?:\.\d{1,3})?")
_NAMED: Final = re.compile(r"(logmar|decimal|dec)?([+-]?\d{1,2}(?:\.\d{1,3})?)(logmar|decimal|dec)?")
_NOTATIONS: Final = {"logmar": "logmar", "decimal": "decimal", "dec": "decimal"}


@dataclass(frozen=True, slots=True)
class Acuity:
    """One acuity: ``logmar``, or ``low`` (cf, hm, lp, nlp); never both.

    ``notation`` is how it was written: decimal, metre, feet, fraction, logmar or low.
    """

    notation: str
    logmar: float | None = None
    low: str | None = None


@dataclass(frozen=True, slots=True)
class Unclear:
    """A plain number that could be either; ``readings`` holds every possible meaning."""

    readings: tuple[Acuity, ...]


def parse(text: str, notation: str | None = None) -> Acuity | Unclear:
    """What ``text`` means; a plain number needs ``notation`` (decimal or logmar).

    >>> parse("6/12").logmar, parse("20/40").logmar, parse("0.5", "decimal").logmar
    (0.3, 0.3, 0.3)
    >>> [found.notation for found in parse("0.1").readings]
    ['decimal', 'logmar']
    >>> parse("HM").low
    'hm'
    """
    plain = text.translate(_DASHES).replace(",", ".")
    short = re.sub(r"\s+", "", plain).lower().strip()
    if short in LOW_WORDS:
        return Acuity("low", low=LOW_WORDS[short])
    fraction = _FRACTION.fullmatch(short)
    if fraction:
        return _fraction(fraction[1], fraction[2])
    named = _NAMED.fullmatch(short)
    if named is None or (named[1] and named[3]):
        raise WrongType(_HOW)
    written = _NOTATIONS.get(named[1] or named[3] or "") or notation
    return _number(named[2], written)


_HOW: Final = (
    "This is no acuity. Type 6/9, 20/30, 0.63, logMAR 0.2, or CF, HM, LP, NLP; leave out single letters "
    "such as -2."
)


def _number(text: str, notation: str | None) -> Acuity | Unclear:
    """A signed number is logMAR: decimals have no sign."""
    if notation is None and text[0] in "+-":
        notation = "logmar"
    if notation is None:
        return _unclear(text)
    if notation not in _READERS:
        raise WrongType(_HOW)
    return _READERS[notation](text)


def _unclear(text: str) -> Unclear:
    possible = tuple(found for name in _PLAIN if (found := _tried(_READERS[name], text)) is not None)
    if not possible:
        raise OutOfRange(say("{text} is an acuity neither as a decimal nor as logMAR. Check it.", text=text))
    return Unclear(possible)


def _tried(read: Callable[[str], Acuity], text: str) -> Acuity | None:
    try:
        return read(text)
    except (OutOfRange, WrongType):
        return None


def _logmar(text: str) -> Acuity:
    return Acuity("logmar", _possible(float(text), text))


def _decimal(text: str) -> Acuity:
    if text[0] in "+-":
        raise WrongType("A decimal acuity has no sign. Type it without, or choose logMAR.")
    line = _line(0, float(text))
    return Acuity("decimal", _possible(_log(float(text), text) if line is None else line, text))


def _fraction(over: str, under: str) -> Acuity:
    distance, letters = float(over), float(under)
    notation = {METRES: "metre", FEET: "feet"}.get(distance, "fraction")
    column = {"metre": 1, "feet": 2}.get(notation)
    line = None if column is None else _line(column, letters)
    shown = f"{over}/{under}"
    if not distance or not letters:
        raise OutOfRange(say(
            "{shown} is no acuity. Type the test distance over the line, for example 6/9.",
            shown=shown,
        ))
    return Acuity(notation, _possible(_log(distance / letters, shown) if line is None else line, shown))


def _log(decimal: float, shown: str) -> float:
    if decimal <= 0.0:
        raise OutOfRange(say(
            "{shown} is no acuity as a decimal. For no number, type CF, HM, LP or NLP.",
            shown=shown,
        ))
    return -math.log10(decimal)


def _line(column: int, number: float) -> float | None:
    """LogMAR of the standard line with this name, or ``None``."""
    found = (place for place, names in enumerate(LINES) if float(names[column]) == number)
    place = next(found, None)
    return None if place is None else (place + _FIRST_TENTH) / 10


def _possible(logmar: float, shown: str) -> float:
    if not BEST_LOGMAR - 1e-9 <= logmar <= WORST_LOGMAR + 1e-9:
        raise OutOfRange(
            say(
                "{shown} is {logmar} logMAR, outside {best_logmar} to {worst_logmar}. Check it; for less "
                "than 20/2000 type CF, HM, LP or NLP.",
                shown=shown, logmar=f"{logmar:.2f}", best_logmar=f"{BEST_LOGMAR:.1f}",
                worst_logmar=f"{WORST_LOGMAR:.1f}",
            )
        )
    return logmar


def _metre(text: str) -> Acuity:
    return _fraction(f"{METRES:g}", text)


def _feet(text: str) -> Acuity:
    return _fraction(f"{FEET:g}", text)


#: How a number is read in a notation that was chosen.
_READERS: Final[dict[str, Callable[[str], Acuity]]] = {
    "decimal": _decimal, "logmar": _logmar, "metre": _metre, "feet": _feet,
}
#: What a plain number could be when none was chosen.
_PLAIN: Final = ("decimal", "logmar")

#: A logMAR this near a line is shown by the line's names; printed names are rounded by less.
_ON_LINE: Final = 0.0061


def names(logmar: float) -> tuple[str, str, str]:
    """Decimal, 6/x and 20/x: a standard line's names, else two or three figures.

    >>> names(0.3), names(0.477)
    (('0.5', '6/12', '20/40'), ('0.33', '6/18', '20/60'))
    """
    tenth = round(logmar * 10)
    place = tenth - _FIRST_TENTH
    if 0 <= place < len(LINES) and abs(logmar - tenth / 10) <= _ON_LINE:
        decimal, metre, feet = LINES[place]
        return decimal, f"6/{metre}", f"20/{feet}"
    factor = 10.0**logmar
    return f"{1 / factor:.2g}", f"6/{_short(METRES * factor)}", f"20/{_short(FEET * factor)}"


def _short(number: float) -> str:
    return f"{number:.0f}" if number >= 9.95 else f"{number:.1f}".removesuffix(".0")
