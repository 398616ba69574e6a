"""The only door for callers that speak JSON: :func:`handle` (text in, text out)."""

from pycore.api.boundary import handle

__all__ = ["handle"]
