"""``import_archive``: an exported archive as parts, still text, for import_parts; stores nothing."""

from __future__ import annotations

from typing import Any

from pycore.api.import_items import base64_bytes
from pycore.api.operation import Answer, Operation
from pycore.api.schema import Notes, required
from pycore.exchange.archive_import import parts_of

ITEMS = (required("bytes_base64", base64_bytes, about="The whole archive."),)


def run(request: dict[str, Any], notes: Notes) -> Answer:
    return Answer(parts_of(request["bytes_base64"]))


OPERATION = Operation("import_archive", "An exported archive as parts of eyes, still text.", ITEMS, run)
