"""Whether a DICOM data set is whole: every length is kept, every open sequence is closed.

Libraries read a file that was cut short up to where it ends and say nothing; a biometer's chosen
length could be lost that way and an unchosen one be taken for it. This walks the lengths alone
(PS3.5, section 7) and reads no value. A cut exactly between two elements of the outermost level
cannot be seen by anybody.

Checked by ``tests/exchange/test_dicom_import.py``.
"""

from __future__ import annotations

import struct
from dataclasses import dataclass
from typing import Final

_OPEN: Final = 0xFFFFFFFF
_ITEM: Final = (0xFFFE, 0xE000)
_ITEM_END: Final = (0xFFFE, 0xE00D)
_SEQUENCE_END: Final = (0xFFFE, 0xE0DD)
#: Value representations whose length has four bytes after two empty ones.
_LONG: Final = frozenset({b"OB", b"OD", b"OF", b"OL", b"OV", b"OW", b"SQ", b"SV", b"UC", b"UN", b"UR",
                          b"UT", b"UV"})
_DEEPEST: Final = 30


class NotWhole(Exception):
    """A length that reaches beyond the end, or something that is never closed."""


@dataclass(frozen=True, slots=True)
class Form:
    """How elements are written."""

    implicit: bool
    big_endian: bool


@dataclass(frozen=True, slots=True)
class _Element:
    tag: tuple[int, int]
    sequence: bool
    start: int
    length: int


def require_whole(data: bytes, form: Form) -> None:
    """Raise :class:`NotWhole` unless ``data``, a data set without its head, ends where it should."""
    _Walk(data, form).elements(0, len(data), 0)


class _Walk:
    def __init__(self, data: bytes, form: Form) -> None:
        self.data = data
        self.form = form
        self.order = ">" if form.big_endian else "<"

    def _read(self, kind: str, at: int) -> tuple[int, ...]:
        size = struct.calcsize(self.order + kind)
        if at + size > len(self.data):
            raise NotWhole
        return struct.unpack(self.order + kind, self.data[at:at + size])

    def _element(self, at: int) -> _Element:
        group, number = self._read("HH", at)
        tag = (group, number)
        if self.form.implicit or group == _ITEM[0]:
            (length,) = self._read("L", at + 4)
            return _Element(tag, length == _OPEN, at + 8, length)
        kind = self.data[at + 4:at + 6]
        if kind in _LONG:
            (length,) = self._read("L", at + 8)
            return _Element(tag, kind == b"SQ" or length == _OPEN, at + 12, length)
        (short,) = self._read("H", at + 6)
        return _Element(tag, False, at + 8, short)

    def elements(self, at: int, end: int, depth: int, *, closed_by: tuple[int, int] | None = None) -> int:
        """Walk elements up to ``end`` or the closing mark; where the walk stopped."""
        if depth > _DEEPEST:
            raise NotWhole
        while at < end:
            one = self._element(at)
            if closed_by is not None and one.tag == closed_by:
                return one.start
            at = self._past(one, end, depth)
        if closed_by is not None or at != end:
            raise NotWhole
        return at

    def _past(self, one: _Element, end: int, depth: int) -> int:
        if one.length == _OPEN:
            return self._items(one.start, end, depth, is_open=True)
        after = one.start + one.length
        if after > end:
            raise NotWhole
        if one.sequence:
            self._items(one.start, after, depth, is_open=False)
        return after

    def _items(self, at: int, end: int, depth: int, *, is_open: bool) -> int:
        while at < end:
            one = self._element(at)
            if is_open and one.tag == _SEQUENCE_END:
                return one.start
            if one.tag != _ITEM:
                raise NotWhole
            at = self._past_item(one, end, depth)
        if is_open or at != end:
            raise NotWhole
        return at

    def _past_item(self, one: _Element, end: int, depth: int) -> int:
        if one.length == _OPEN:
            return self.elements(one.start, end, depth + 1, closed_by=_ITEM_END)
        after = one.start + one.length
        if after > end:
            raise NotWhole
        self.elements(one.start, after, depth + 1)
        return after
