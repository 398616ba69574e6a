"""``fingerprints``: what the eyes on the device are known again by when a file brings them."""

from __future__ import annotations

from typing import Any

from pycore.api.operation import Answer, Operation
from pycore.api.schema import Notes, listing, mapping, required
from pycore.errors import GuylineError
from pycore.exchange.csv_import import fingerprint
from pycore.records.migrate import restore
from pycore.records.shape import examine

ITEMS = (required("cases", listing(mapping), about="Stored records."),)


def run(request: dict[str, Any], notes: Notes) -> Answer:
    """One fingerprint per record; null for a record that cannot be read."""
    return Answer({"fingerprints": [_print(document) for document in request["cases"]]})


def _print(document: dict[str, Any]) -> str | None:
    try:
        sound = examine(restore(document)).sound
    except GuylineError:
        return None
    kept = (sound["imported"] or {}).get("fingerprint")
    return str(kept) if kept else fingerprint(sound)


OPERATION = Operation("fingerprints", "What stored eyes are known again by.", ITEMS, run)
