"""Typed acuities: nothing is guessed, low vision is no number."""

from __future__ import annotations

from typing import Any

import pytest

from pycore.api.boundary import answer
from pycore.errors import GuylineError, OutOfRange, WrongType
from pycore.optics.acuity import parse


def ask(text: str, **given: Any) -> dict[str, Any]:
    value: dict[str, Any] = answer("acuity", {"text": text, **given})["value"]
    return value


@pytest.mark.parametrize("text", ["0.1", "0,1", "1.0", "0.63", "1", "0.05"])
def test_a_plain_number_is_asked_about(text: str) -> None:
    found = ask(text)
    assert (found["state"], found["logmar"], found["low"]) == ("ask", None, None)
    assert [one["notation"] for one in found["meanings"]] == ["decimal", "logmar"]


def test_the_two_meanings_of_a_tenth_are_shown() -> None:
    """0.1 decimal is 6/60; 0.1 logMAR is 6/7.5: nine lines apart."""
    shown = [one["shown"] for one in ask("0.1")["meanings"]]
    assert shown == ["6/60 · 20/200 · 0.1 · logMAR 1.00", "6/7.5 · 20/25 · 0.8 · logMAR 0.10"]


def test_zero_can_only_be_logmar_and_is_still_asked() -> None:
    assert [one["notation"] for one in ask("0")["meanings"]] == ["logmar"]


@pytest.mark.parametrize(("text", "given", "logmar", "notation"), [
    ("0.1", {"notation": "decimal"}, 1.0, "decimal"), ("0.1", {"notation": "logmar"}, 0.1, "logmar"),
    ("9.5", {"notation": "metre"}, 0.2, "metre"), ("40", {"notation": "feet"}, 0.3, "feet"),
    ("logMAR 0.1", {}, 0.1, "logmar"), ("0,5 decimal", {}, 0.3, "decimal"), ("dec 0.5", {}, 0.3, "decimal"),
    ("-0.1", {}, -0.1, "logmar"), ("\u22120.08", {}, -0.08, "logmar"), ("+0.2", {}, 0.2, "logmar"),
    (" 6 / 12 ", {}, 0.3, "metre"), ("20/40", {}, 0.3, "feet"), ("6/12", {"notation": "decimal"}, 0.3, "metre"),
])
def test_what_is_clear_is_read(text: str, given: dict[str, str], logmar: float, notation: str) -> None:
    found = ask(text, **given)
    assert (found["state"], found["logmar"], found["notation"]) == ("read", pytest.approx(logmar), notation)


@pytest.mark.parametrize(("text", "low"), [
    ("CF", "cf"), ("fc", "cf"), ("Counting fingers", "cf"), ("HM", "hm"), ("hand movements", "hm"),
    ("LP", "lp"), ("PL", "lp"), ("NLP", "nlp"), ("no light perception", "nlp"),
])
def test_low_vision_is_a_word_and_no_number(text: str, low: str) -> None:
    found = ask(text)
    assert (found["low"], found["logmar"], found["forms"]) == (low, None, None)


@pytest.mark.parametrize("text", ["", "6/", "/6", "6/6 maybe", "6/9-2", "six", "0.1.2", "6/6/6", "logmar", "--1",
                                  "logmar 0.1 decimal", "\u0000", "6" * 150])
def test_what_is_no_acuity_is_refused_with_what_to_type(text: str) -> None:
    with pytest.raises(WrongType, match="CF, HM, LP, NLP"):
        parse(text)


@pytest.mark.parametrize("text", ["6/0", "0/6", "0.3/60", "20/2", "3.5", "logMAR 3", "0 decimal"])
def test_what_cannot_be_is_refused(text: str) -> None:
    with pytest.raises(OutOfRange):
        parse(text)


def test_a_decimal_has_no_sign() -> None:
    with pytest.raises(GuylineError) as caught:
        ask("-0.5", notation="decimal")
    assert caught.value.field == "text"


def test_all_forms_of_one_acuity() -> None:
    assert ask("6/9.5")["forms"] == {
        "decimal": "0.63", "metre": "6/9.5", "feet": "20/32", "logmar": "logMAR 0.20",
    }
    assert ask("6/5")["forms"]["logmar"] == "logMAR \u22120.08"  # log10(5/6) = -0.0792
