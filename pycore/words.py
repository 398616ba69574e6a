"""The core thinks in English; another language is put on at the door.

A text with values in it is made by :func:`say`. It is ordinary English text for every caller and remembers
its template, so that the door can put the values into the same template of another language. A text without
values needs nothing: the door looks it up as it is. Texts joined to one are made by :func:`joined`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, Final

#: Around a value with digits where the text runs from right to left: it keeps its own order.
LEFT_TO_RIGHT: Final = "\u2066"
END: Final = "\u2069"
_DIGIT = re.compile(r"\d")


class Text(str):
    """English text that knows how it was made; adding to it keeps what it knows."""

    def __add__(self, more: str) -> str:
        return joined("", (self, more))

    def __radd__(self, before: str) -> str:
        return joined("", (before, self))


class Sentence(Text):
    """The template and values it was made from."""

    template: str
    values: Mapping[str, object]


class Joined(Text):
    """Texts one after another, and what stands between them."""

    parts: tuple[object, ...]
    separator: str


class Changed(Text):
    """A text written in another case, and how."""

    of: str
    how: Callable[[str], str]


class Counted(Text):
    """The form of a text for a number of things, and both forms it was chosen from."""

    number: float
    other: str


def say(template: str, /, **values: object) -> str:
    """``template`` with ``{name}`` replaced by its value, as :meth:`str.format` does.

    Tested by ``tests/unit/test_words.py``.
    """
    made = Sentence(template.format(**values))
    made.template, made.values = template, values
    return made


def joined(separator: str, parts: Iterable[object], /) -> str:
    """``separator.join(parts)`` that another language can be put on, part by part."""
    kept = tuple(parts)
    made = Joined(separator.join(map(str, kept)))
    made.parts, made.separator = kept, separator
    return made


def capital(text: str) -> str:
    """``text`` with its first letter as a capital."""
    return _changed(text, lambda one: one[:1].upper() + one[1:])


def upper(text: str) -> str:
    """``text`` in capitals, for a title."""
    return _changed(text, str.upper)


def _changed(text: str, how: Callable[[str], str]) -> str:
    made = Changed(how(text))
    made.of, made.how = text, how
    return made


def counted(count: float, one: str, other: str) -> str:
    """``one`` for exactly 1, else ``other``: "eye" or "eyes"; ``{number}`` in them is the number."""
    made = Counted((one if count == 1 else other).format(number=count))
    made.number, made.other = count, other
    return made


@dataclass(frozen=True)
class Language:
    """Texts by their English template; forms of counted words by category; which way it runs.

    ``categories`` names the plural category of 0, 1, 2 … 199; larger numbers repeat the last hundred.
    """

    texts: Mapping[str, str] = field(default_factory=dict)
    forms: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    categories: tuple[str, ...] = ()
    right_to_left: bool = False

    def __call__(self, text: object) -> object:
        """One text in this language; what is no text, or has no translation, stays."""
        for kind, put in _WAYS.items():
            if isinstance(text, kind):
                return put(self, text)
        return self._plain(text) if isinstance(text, str) else text

    def _plain(self, text: str) -> str:
        """A text as it is, or begun with a capital: labels stand in the middle of sentences too."""
        found = self.texts.get(text) or self.texts.get(text[:1].upper() + text[1:])
        return text if found is None else found

    def sentence(self, made: Sentence) -> str:
        """The template's translation with each value in this language."""
        values = {name: self._isolated(value) for name, value in made.values.items()}
        return self.texts.get(made.template, made.template).format(**values)

    def form(self, made: Counted) -> str:
        """The form that this language uses for the number."""
        forms = self.forms.get(made.other)
        if forms is None:
            return str(made)
        return forms.get(self._category(made.number), forms["other"]).format(number=made.number)

    def _category(self, count: float) -> str:
        if count != int(count):
            return "other"
        number = int(count)
        return self.categories[number if number < len(self.categories) else 100 + number % 100]

    def _isolated(self, value: object) -> object:
        text = self(value)
        plain = not isinstance(value, Text)
        if self.right_to_left and plain and _DIGIT.search(str(text)):
            return f"{LEFT_TO_RIGHT}{text}{END}"
        return text


_WAYS: Final[Mapping[type, Callable[[Language, Any], str]]] = {
    Sentence: Language.sentence,
    Joined: lambda language, made: str(language(made.separator)).join(map(str, map(language, made.parts))),
    Counted: Language.form,
    Changed: lambda language, made: made.how(str(language(made.of))),
}
