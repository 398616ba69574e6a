"""Ways to damage a text, bytes or a JSON document, all drawn from one seeded source."""

from __future__ import annotations

import json
import random
from typing import Any, Final

Document = Any

#: Put in place of any value.
VALUES: Final[tuple[Document, ...]] = (
    None, "", "12", True, False, [], {}, [1, 2, 3], [[]], {"value": 1}, -1e308, 1e308, 5e-324, -0.0, 0, -1, 1e9,
    10**400, 2**53 + 1, "\u221212,5", "x" * 5000, "\ud800", "\u0000", "__proto__", "constructor", "2026-02-30",
    "9999-12-31T23:59:60Z", "right", "=1+1", "../../x", "NaN", "<img src=x onerror=alert(1)>",
)
#: Put into a text.
PIECES: Final = ("\ufeff", "\u2212", "\"", "\\", "{", "[", "]", ",", ";", "\t", "\r", "\n", "\x00", "1e999", "-",
                 "NaN", "Infinity", "\u202e", "\u0663", "'", "=", "\ud83d\ude00", "0" * 400, "[" * 3000, "\\ud800")
DEEP: Final = 400


def document(value: Document, source: random.Random) -> Document:
    """A copy with one to three values lost, replaced, doubled or grown."""
    copy = _copied(value)
    for _ in range(source.randint(1, 3)):
        copy = _once(copy, source)
    return copy


def _copied(value: Document) -> Document:
    return json.loads(json.dumps(value))


def _once(value: Document, source: random.Random) -> Document:
    if not isinstance(value, dict | list) or not value or source.random() < 0.04:
        return _replacement(value, source)
    key = source.choice(list(value)) if isinstance(value, dict) else source.randrange(len(value))
    action = source.random()
    if action < 0.62:
        value[key] = _once(value[key], source)
    elif isinstance(value, dict) and 0.86 <= action < 0.92:
        value[source.choice(("unheard_of", "__proto__", "id", "", "eye"))] = _copied(value[key])
    elif action < 0.74:
        del value[key]
    elif action < 0.86 and isinstance(value, list):
        value.insert(key, _copied(value[key]))
    else:
        value[key] = _replacement(value[key], source)
    return value


def _replacement(value: Document, source: random.Random) -> Document:
    if isinstance(value, bool) or not isinstance(value, int | float) or source.random() < 0.4:
        return _nested(source) if source.random() < 0.02 else _copied(source.choice(VALUES))
    if abs(value) > 1e300:
        return -value
    return source.choice((-value, value * 10, value / 10, value + 0.01, value * 1e6, str(value)))


def _nested(source: random.Random) -> Document:
    value: Document = 1
    for _ in range(source.randint(1, DEEP)):
        value = [value] if source.random() < 0.5 else {"a": value}
    return value


def text(value: str, source: random.Random) -> str:
    """One to four places cut, doubled, swapped or filled."""
    for _ in range(source.randint(1, 4)):
        start = source.randint(0, len(value))
        end = min(len(value), start + source.choice((0, 1, 1, 2, 8, 60, len(value))))
        middle = source.choice(("", source.choice(PIECES), value[start:end] * 2, chr(source.randint(0, 0x2FFF))))
        value = value[:start] + middle + value[end:]
    return value


def data(value: bytes, source: random.Random) -> bytes:
    """One to eight bytes flipped, set, cut out or doubled."""
    made = bytearray(value)
    for _ in range(source.randint(1, 8)):
        if not made:
            return bytes(made)
        place, action = source.randrange(len(made)), source.random()
        if action < 0.5:
            made[place] ^= 1 << source.randrange(8)
        elif action < 0.75:
            made[place] = source.choice((0, 0xFF, 0x7F, 0x80, 0x2C, 0x0A))
        elif action < 0.88:
            del made[place : place + source.choice((1, 2, 16, len(made)))]
        else:
            made[place:place] = made[place : place + source.choice((1, 4, 64))]
    return bytes(made)
