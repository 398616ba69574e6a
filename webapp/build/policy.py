"""The content security policy: own files only, so that no case can leave the phone."""

from __future__ import annotations

import base64
import hashlib
import re
from functools import lru_cache

from .errors import BuildError
from .paths import NODE_MODULES
from .vendor import PUBLISHED_FILES, import_map_text

# Who may turn text into markup or into the address of a script: Lit for its own constant templates,
# and webapp/worker/own-script.js for this app's own files.
SCRIPT_POLICIES = ("lit-html", "guyline")
PLOT = "@observablehq/plot"
# The name that the drawing library gives its figures; part of the text it writes.
FIGURE_CLASS = "plot-d6a7b5"


def script_hash(text: str) -> str:
    """The policy's name for an inline script or style with exactly this text."""
    digest = hashlib.sha256(text.encode("utf-8")).digest()
    return f"'sha256-{base64.b64encode(digest).decode('ascii')}'"


@lru_cache(maxsize=1)
def figure_styles() -> tuple[str, ...]:
    """The constant style texts that the drawing library writes into a figure and a ramp legend.

    They are read out of the very file that is served, so a newer library changes the policy
    with it, and a library that writes something else stops the build.
    """
    text = (NODE_MODULES / PLOT / "dist" / PUBLISHED_FILES[PLOT]).read_text(encoding="utf-8")
    found = re.findall(r'append\("style"\)\.text\(`(:where\(\.\$\{\w+\}[^`]*)`\)', text)
    if len(found) != 2 or f'"{FIGURE_CLASS}"' not in text:
        raise BuildError(f"{PLOT} writes other styles than the pinned release: check the pin.")
    return tuple(re.sub(r"\$\{\w+\}", FIGURE_CLASS, one).replace("\\n", "\n") for one in found)


def policy() -> str:
    """For the page's meta tag, the worker's responses and the local server."""
    return "; ".join([
        "default-src 'none'",
        f"script-src 'self' 'wasm-unsafe-eval' {script_hash(import_map_text())}",
        "worker-src 'self'",
        "connect-src 'self'",
        " ".join(["style-src 'self'", *map(script_hash, figure_styles())]),
        "img-src 'self' data: blob:",
        "font-src 'self'",
        "manifest-src 'self'",
        "base-uri 'none'",
        "form-action 'none'",
        "require-trusted-types-for 'script'",
        f"trusted-types {' '.join(SCRIPT_POLICIES)}",
    ])


def headers() -> dict[str, str]:
    """Response headers of a good host."""
    return {
        "Content-Security-Policy": policy() + "; frame-ancestors 'none'",
        "X-Content-Type-Options": "nosniff",
        "Referrer-Policy": "no-referrer",
        "Permissions-Policy": "geolocation=(), camera=(), microphone=()",
    }
