"""Sentences stay English until they leave the core, and are then put into another language whole."""

from __future__ import annotations

import json
from collections.abc import Iterator

import pytest

from pycore.api import handle, speak
from pycore.api.demo_eyes import demo_eyes
from pycore.words import Language, capital, counted, joined, say, upper
from webapp.build.core_texts import core_texts

LANGUAGE = Language(
    texts={
        "Cut {cut} at {clock}.": "An {clock}: {cut} ab.", "the left eye": "das linke Auge", "Left eye": "Linkes Auge",
        "Read {what}.": "Lies {what}.", " and ": " und ",
    },
    forms={"{number} eyes": {"one": "{number} Auge", "few": "{number} Augen (wenige)", "other": "{number} Augen"}},
    categories=("other", "one", "few", *["other"] * 197),
)


@pytest.fixture(autouse=True)
def english_after() -> Iterator[None]:
    yield
    speak('{"texts": {}, "forms": {}, "categories": [], "right_to_left": false}')


def test_english_is_ordinary_text() -> None:
    assert say("Cut {cut} at {clock}.", cut="1.0 mm", clock="3:00") == "Cut 1.0 mm at 3:00."
    assert joined(" and ", ["a", "b"]) == "a and b"
    assert [counted(number, "1 eye", "{number} eyes") for number in (0, 1, 2)] == ["0 eyes", "1 eye", "2 eyes"]
    assert (capital("left eye"), upper("left eye")) == ("Left eye", "LEFT EYE")


def test_values_move_with_the_translation() -> None:
    assert LANGUAGE(say("Cut {cut} at {clock}.", cut="1.0 mm", clock="3:00")) == "An 3:00: 1.0 mm ab."
    assert LANGUAGE(say("Read {what}.", what="the left eye")) == "Lies das linke Auge."


def test_what_is_put_together_is_translated_in_its_parts() -> None:
    inner = say("Read {what}.", what="the left eye")
    assert LANGUAGE(joined(" and ", [inner, "the left eye"])) == "Lies das linke Auge. und das linke Auge"
    assert LANGUAGE("x: " + inner + "!") == "x: Lies das linke Auge.!"
    assert LANGUAGE(upper("Left eye")) == "LINKES AUGE"
    assert LANGUAGE("left eye") == "Linkes Auge"


def test_a_language_may_have_more_than_two_forms() -> None:
    words = [LANGUAGE(counted(number, "1 eye", "{number} eyes")) for number in (1, 2, 5, 1.5)]
    assert words == ["1 Auge", "2 Augen (wenige)", "5 Augen", "1.5 Augen"]


def test_a_number_keeps_its_order_where_text_runs_from_right_to_left() -> None:
    language = Language({"Target {target}.": "{target} :DAEH."}, right_to_left=True)
    assert language(say("Target {target}.", target="\u22121.25 D")) == "\u2066\u22121.25 D\u2069 :DAEH."


def test_answers_and_errors_leave_in_the_language_and_typed_text_does_not() -> None:
    texts = {text: f"<{text}>" for text in core_texts().texts}
    speak(json.dumps({"texts": texts, "forms": {}, "categories": [], "right_to_left": False}))
    case = demo_eyes()[0] | {"lens": demo_eyes()[0]["lens"] | {"lens_name": "Axial length"}}
    answer = json.loads(handle(json.dumps({"id": 1, "operation": "plan_case", "payload": {"case": case}})))
    assert "<Lens position>" in json.dumps(answer["value"], ensure_ascii=False)
    names = [lens["lens_name"] for lens in answer["value"].get("lenses", []) if "lens_name" in lens]
    assert all("<" not in str(name) for name in names)
    refused = json.loads(handle('{"id": 2, "operation": "none", "payload": {}}'))
    assert refused["error"]["message"].startswith("<No operation is called")


def test_every_template_of_the_core_is_among_the_texts_to_translate() -> None:
    found = core_texts()
    assert {"Enter {label}.", "Axial length", "Never assumed."} - found.texts == {"Never assumed."}
    assert found.forms["{number} eyes"] == "1 eye"
    assert len(found.texts) > 1000
