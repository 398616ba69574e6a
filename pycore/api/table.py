"""The operation table: name to module, imported when first asked for.

Importing lazily keeps the first answer fast and numpy out of the way.
"""

from __future__ import annotations

from importlib import import_module
from typing import Final

from pycore.api.operation import Operation
from pycore.errors import UnknownOperation
from pycore.words import say

#: Each module holds an ``OPERATION``.
MODULES: Final[dict[str, str]] = {
    "describe": "pycore.api.op_describe",
    "advise": "pycore.api.op_advise",
    "theatre_case": "pycore.api.op_theatre_case",
    "plan_case": "pycore.api.op_plan_case",
    "power": "pycore.api.op_power",
    "vergence_power": "pycore.api.op_vergence_power",
    "audit": "pycore.api.op_audit",
    "refraction": "pycore.api.op_refraction",
    "tilt": "pycore.api.op_tilt",
    "entries": "pycore.api.op_entries",
    "check_case": "pycore.api.op_check_case",
    "demo_cases": "pycore.api.op_demo_cases",
    "follow_up_case": "pycore.api.op_follow_up_case",
    "result_rows": "pycore.api.op_result_rows",
    "results": "pycore.api.op_results",
    "result_intervals": "pycore.api.op_result_intervals",
    "acuity": "pycore.api.op_acuity",
    "note_case": "pycore.api.op_note_case",
    "export_csv": "pycore.api.op_export_csv",
    "export_part": "pycore.api.op_export_part",
    "export_files": "pycore.api.op_export_files",
    "dicom_read": "pycore.api.op_dicom_read",
    "csv_look": "pycore.api.op_csv_look",
    "csv_rows": "pycore.api.op_csv_rows",
    "import_archive": "pycore.api.op_import_archive",
    "import_parts": "pycore.api.op_import_parts",
    "fingerprints": "pycore.api.op_fingerprints",
    "learn": "pycore.api.op_learn",
    "measurements": "pycore.api.op_measurements",
    "second_route": "pycore.api.op_second_route",
    "media": "pycore.api.op_media",
    "microscope_case": "pycore.api.op_microscope_case",
    "box": "pycore.api.op_box",
    "pack": "pycore.api.op_pack",
    "sheet_case": "pycore.api.op_sheet_case",
    "measured_otherwise": "pycore.api.op_measured_otherwise",
}


def find(name: object) -> Operation:
    """The operation called ``name``.

    Raises :class:`UnknownOperation` for any other name.
    """
    if not isinstance(name, str) or name not in MODULES:
        known = ", ".join(sorted(MODULES))
        message = say(
            "No operation is called {name}. Known: {known}.",
            name=f"{str(name)[:60]!r}", known=known,
        )
        raise UnknownOperation(message, field="operation")
    found = import_module(MODULES[name]).OPERATION
    assert isinstance(found, Operation)
    return found
