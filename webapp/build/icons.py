"""Draws the app's icons: two lines of adjustable length hold a disc.

Run ``python3 -m webapp.build.icons`` after a change; the results are tracked.
"""

from __future__ import annotations

import math
import struct
import zlib

from .paths import WEBAPP

Colour = tuple[int, int, int]
Point = tuple[float, float]

GROUND: Colour = (11, 17, 20)
LINE: Colour = (127, 209, 199)
DISC: Colour = (240, 244, 242)
HOLE: Colour = (11, 17, 20)
# Unit square, y downwards. Each line runs from its anchor to the edge of the disc.
CENTRE: Point = (0.5, 0.5)
DISC_RADIUS, HOLE_RADIUS = 0.17, 0.115
LINES: tuple[tuple[Point, Point], ...] = (((0.16, 0.26), (0.40, 0.36)), ((0.84, 0.74), (0.60, 0.64)))
LINE_HALF_WIDTH, KNOT_RADIUS = 0.022, 0.05
SAMPLES = 4
SIZES = {"guyline-192.png": (192, 1.0), "guyline-512.png": (512, 1.0),
         "guyline-maskable-512.png": (512, 0.8)}


def _distance_to_segment(point: Point, start: Point, end: Point) -> float:
    (px, py), (sx, sy), (ex, ey) = point, start, end
    length2 = (ex - sx) ** 2 + (ey - sy) ** 2
    along = max(0.0, min(1.0, ((px - sx) * (ex - sx) + (py - sy) * (ey - sy)) / length2))
    return math.hypot(px - sx - along * (ex - sx), py - sy - along * (ey - sy))


def colour_at(point: Point) -> Colour:
    """The drawing, topmost shape first."""
    radius = math.dist(point, CENTRE)
    if radius < HOLE_RADIUS:
        return HOLE
    if radius < DISC_RADIUS:
        return DISC
    for start, end in LINES:
        if math.dist(point, start) < KNOT_RADIUS:
            return LINE
        if _distance_to_segment(point, start, end) < LINE_HALF_WIDTH:
            return LINE
    return GROUND


def _pixel(x: int, y: int, size: int, scale: float) -> bytes:
    sums = [0, 0, 0]
    for sub in range(SAMPLES * SAMPLES):
        u = (x + (sub % SAMPLES + 0.5) / SAMPLES) / size
        v = (y + (sub // SAMPLES + 0.5) / SAMPLES) / size
        colour = colour_at((0.5 + (u - 0.5) / scale, 0.5 + (v - 0.5) / scale))
        sums = [total + part for total, part in zip(sums, colour, strict=True)]
    return bytes(round(total / SAMPLES**2) for total in sums)


def png(size: int, scale: float) -> bytes:
    """An opaque RGB image of the drawing."""
    rows = b"".join(
        b"\0" + b"".join(_pixel(x, y, size, scale) for x in range(size)) for y in range(size)
    )
    header = struct.pack(">IIBBBBB", size, size, 8, 2, 0, 0, 0)
    parts = [_chunk(b"IHDR", header), _chunk(b"IDAT", zlib.compress(rows, 9)), _chunk(b"IEND", b"")]
    return b"\x89PNG\r\n\x1a\n" + b"".join(parts)


def _chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def svg() -> str:
    """The same drawing as vectors."""
    def hexa(colour: Colour) -> str:
        return "#" + bytes(colour).hex()

    lines = "".join(
        f'<path d="M{sx * 100:g} {sy * 100:g}L{ex * 100:g} {ey * 100:g}"/>'
        for (sx, sy), (ex, ey) in LINES
    )
    knots = "".join(
        f'<circle cx="{sx * 100:g}" cy="{sy * 100:g}" r="{KNOT_RADIUS * 100:g}"/>'
        for (sx, sy), _ in LINES
    )
    ring = (DISC_RADIUS + HOLE_RADIUS) / 2 * 100
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100">'
        f'<rect width="100" height="100" fill="{hexa(GROUND)}"/>'
        f'<g stroke="{hexa(LINE)}" stroke-width="{LINE_HALF_WIDTH * 200:g}">{lines}</g>'
        f'<g fill="{hexa(LINE)}">{knots}</g>'
        f'<circle cx="50" cy="50" r="{ring:g}" fill="none" stroke="{hexa(DISC)}" '
        f'stroke-width="{(DISC_RADIUS - HOLE_RADIUS) * 100:g}"/></svg>\n'
    )


def main() -> None:
    """Write all icons."""
    folder = WEBAPP / "icons"
    folder.mkdir(exist_ok=True)
    (folder / "guyline.svg").write_text(svg(), encoding="utf-8")
    for name, (size, scale) in SIZES.items():
        (folder / name).write_bytes(png(size, scale))


if __name__ == "__main__":
    main()
