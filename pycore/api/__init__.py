"""The only door for callers that speak JSON: :func:`handle` (text in, text out).

:func:`speak` sets the language of what is answered.
"""

from pycore.api.boundary import handle
from pycore.api.spoken import speak

__all__ = ["handle", "speak"]
