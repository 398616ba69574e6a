"""The content security policy: own files only, so that no case can leave the phone."""

from __future__ import annotations

import base64
import hashlib

from .vendor import import_map_text


def script_hash(text: str) -> str:
    """The policy's name for an inline script with exactly this text."""
    digest = hashlib.sha256(text.encode("utf-8")).digest()
    return f"'sha256-{base64.b64encode(digest).decode('ascii')}'"


def policy() -> str:
    """For the page's meta tag, the worker's responses and the local server."""
    return "; ".join([
        "default-src 'none'",
        f"script-src 'self' 'wasm-unsafe-eval' {script_hash(import_map_text())}",
        "worker-src 'self'",
        "connect-src 'self'",
        "style-src 'self'",
        "img-src 'self' data: blob:",
        "font-src 'self'",
        "manifest-src 'self'",
        "base-uri 'none'",
        "form-action 'none'",
    ])


def headers() -> dict[str, str]:
    """Response headers of a good host."""
    return {
        "Content-Security-Policy": policy() + "; frame-ancestors 'none'",
        "X-Content-Type-Options": "nosniff",
        "Referrer-Policy": "no-referrer",
        "Permissions-Policy": "geolocation=(), camera=(), microphone=()",
    }
