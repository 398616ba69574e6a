"""Content types, the same for the server and for the offline check."""

from __future__ import annotations

from pathlib import PurePosixPath

TYPES = {
    ".html": "text/html; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".mjs": "text/javascript; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".json": "application/json",
    ".webmanifest": "application/manifest+json",
    ".wasm": "application/wasm",
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".woff2": "font/woff2",
    ".txt": "text/plain; charset=utf-8",
    ".md": "text/plain; charset=utf-8",
    ".zip": "application/zip",
    ".whl": "application/octet-stream",
    "": "text/plain; charset=utf-8",
}


def media_type(name: str) -> str:
    """The type of a file by its name; unknown kinds are plain bytes."""
    return TYPES.get(PurePosixPath(name).suffix.lower(), "application/octet-stream")
