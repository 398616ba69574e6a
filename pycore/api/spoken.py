"""The language that answers are put into as they leave the core; English until :func:`speak` was called."""

from __future__ import annotations

import json
from typing import Any, Final

from pycore.fields import FIELDS
from pycore.words import Language, Text

#: What a person typed, and codes: never looked up, whatever they say.
_TYPED: Final = frozenset(name for name, entry in FIELDS.items() if entry.kind in ("text", "code")) | {"id"}
_NOW: list[Language] = []


def speak(text: str) -> None:
    """Take the texts of a language from JSON ``{"texts", "forms", "categories", "right_to_left"}``.

    No texts mean English. Tested by ``tests/unit/test_words.py``.
    """
    given = json.loads(text)
    _NOW.clear()
    if given["texts"] or given["forms"]:
        _NOW.append(Language(
            given["texts"], given["forms"], tuple(given["categories"]), right_to_left=given["right_to_left"]
        ))


def spoken(document: Any) -> Any:
    """An answer in the language that is spoken: its sentences, warnings and errors."""
    return _put(document, _NOW[0]) if _NOW else document


def _is_typed(key: str, value: object) -> bool:
    return key in _TYPED and not isinstance(value, Text)


def _put(node: Any, language: Language) -> Any:
    if isinstance(node, dict):
        return {key: value if _is_typed(key, value) else _put(value, language) for key, value in node.items()}
    if isinstance(node, list | tuple):
        return [_put(item, language) for item in node]
    # A choice is stored as a word in small letters; a text for people has a capital or several words.
    shown = isinstance(node, Text) or (isinstance(node, str) and (" " in node or node[:1].isupper()))
    return language(node) if shown else node
