"""The content of a LevelDB table file, its blocks unpacked: what a search of the raw bytes would miss."""

from __future__ import annotations

from collections.abc import Iterator

FOOTER_BYTES, TRAILER_BYTES = 48, 5
MAGIC = 0xDB4775248B80FB57
SNAPPY = 1


def blocks(data: bytes) -> Iterator[bytes]:
    """Every data block of a table; nothing when it is none."""
    if len(data) < FOOTER_BYTES or int.from_bytes(data[-8:], "little") != MAGIC:
        return
    footer = data[-FOOTER_BYTES:]
    at = _skip(footer, 2, 0)
    for value in _values(_block(data, *_handle(footer, at))):
        yield _block(data, *_handle(value, 0))


def _handle(data: bytes, at: int) -> tuple[int, int]:
    offset, at = _number(data, at)
    size, _ = _number(data, at)
    return offset, size


def _block(data: bytes, offset: int, size: int) -> bytes:
    raw = data[offset:offset + size]
    return unsnapped(raw) if data[offset + size] == SNAPPY else raw


def _values(block: bytes) -> Iterator[bytes]:
    """Values of an index block's entries: (shared, own, length, key, value)."""
    restarts = int.from_bytes(block[-4:], "little")
    end = len(block) - 4 * (restarts + 1)
    at = 0
    while at < end:
        _shared, at = _number(block, at)
        own, at = _number(block, at)
        length, at = _number(block, at)
        yield block[at + own:at + own + length]
        at += own + length


def _skip(data: bytes, numbers: int, at: int) -> int:
    for _ in range(numbers):
        _, at = _number(data, at)
    return at


def _number(data: bytes, at: int) -> tuple[int, int]:
    value = shift = 0
    while True:
        byte = data[at]
        value |= (byte & 0x7F) << shift
        at, shift = at + 1, shift + 7
        if byte < 0x80:
            return value, at


def unsnapped(data: bytes) -> bytes:
    """A block packed with Snappy."""
    _, at = _number(data, 0)
    out = bytearray()
    while at < len(data):
        tag = data[at]
        at += 1
        if tag & 3 == 0:
            length = tag >> 2
            if length >= 60:
                extra = length - 59
                length = int.from_bytes(data[at:at + extra], "little")
                at += extra
            out += data[at:at + length + 1]
            at += length + 1
            continue
        length, offset, at = _copy(data, tag, at)
        for _ in range(length):
            out.append(out[-offset])
    return bytes(out)


def _copy(data: bytes, tag: int, at: int) -> tuple[int, int, int]:
    if tag & 3 == 1:
        return (tag >> 2 & 7) + 4, (tag >> 5) << 8 | data[at], at + 1
    size = 2 if tag & 3 == 2 else 4
    return (tag >> 2) + 1, int.from_bytes(data[at:at + size], "little"), at + size
