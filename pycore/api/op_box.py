"""``box``: the surgeon's box as it stands, and the powers of a run to put in."""

from __future__ import annotations

from datetime import date
from typing import Any, Final

from pycore.api.box_items import BOX_TODAY_ITEM, ROW, SOON_DAYS, days_left, expiry_note, label_of, why_not
from pycore.api.operation import Answer, Operation
from pycore.api.schema import Notes, choice, listing, number, optional, record, required
from pycore.errors import OutOfRange
from pycore.fields import FIELDS
from pycore.words import counted, joined, say

_STEPS_D: Final = {"half": 0.5, "whole": 1.0}
_MOST_IN_RUN: Final = 60
_MOST_ROWS: Final = 500

ITEMS: Final = (
    required("lenses", listing(ROW, most=_MOST_ROWS), about="Rows as stored."),
    BOX_TODAY_ITEM,
    optional(
        "run",
        record(
            required("from_d", number("lens_power_d")),
            required("to_d", number("lens_power_d")),
            required("power_step", choice("power_step")),
        ),
        about="First and last power of lenses to put in together.",
    ),
)


def run(request: dict[str, Any], notes: Notes) -> Answer:
    rows, today = request["lenses"], request["today"]
    listed = [_row_value(row, today) for row in sorted(rows, key=_order)]
    return Answer(
        {
            "rows": listed,
            "pieces": sum(row["lens_count"] for row in rows),
            "usable": sum(row["pieces"] for row in listed if row["state"] in ("ready", "soon")),
            "summary": _summary(listed),
            "run_d": None if request["run"] is None else _powers(request["run"]),
        }
    )


def _order(row: dict[str, Any]) -> tuple[str, float, date]:
    return (row["lens_name"] or "").casefold(), row["lens_power_d"], row["expires_on"] or date.max


def _row_value(row: dict[str, Any], today: date | None) -> dict[str, Any]:
    """One row with what stands in its way, if anything."""
    days = days_left(row["expires_on"], today)
    why = why_not(row, formula=None, today=today)
    return {
        "id": row["id"],
        "label": label_of(row),
        "pieces": row["lens_count"],
        "state": _state(row, days, why),
        "note": why or expiry_note(row["expires_on"], today),
    }


def _state(row: dict[str, Any], days: int | None, why: str | None) -> str:
    """``empty``, ``expired``, ``no_constant``, ``soon`` or ``ready``."""
    if row["lens_count"] == 0:
        return "empty"
    if days is not None and days < 0:
        return "expired"
    if why is not None:
        return "no_constant"
    return "soon" if days is not None and days <= SOON_DAYS else "ready"


def _summary(listed: list[dict[str, Any]]) -> str:
    """The whole box in one sentence."""
    parts = [(state, sum(row["pieces"] for row in listed if row["state"] == state)) for state in _WORDS]
    said = [say(_WORDS[state], count=count) for state, count in parts if count]
    pieces = sum(row["pieces"] for row in listed)
    lenses = counted(pieces, "1 lens", "{number} lenses")
    if not said:
        return say("{lenses}.", lenses=lenses)
    return say("{lenses}: {listed}.", lenses=lenses, listed=joined(", ", said))


_WORDS: Final = {
    "ready": "{count} ready",
    "soon": "{count} ready but expiring within 60 days",
    "expired": "{count} expired, never offered",
    "no_constant": "{count} without a constant, not offered",
}


def _powers(given: dict[str, Any]) -> list[float]:
    """Every power from the first to the last, both included."""
    first, last, step = given["from_d"], given["to_d"], _STEPS_D[given["power_step"]]
    if last < first:
        raise OutOfRange("The last power is below the first. Exchange them.", field="run.to_d")
    if (last - first) % step:
        name = FIELDS["power_step"].choices[given["power_step"]].lower()
        raise OutOfRange(
            say(
                "No run of {name} leads from {first} to {last} D. Check both powers.",
                name=name, first=f"{first:g}", last=f"{last:g}",
            ), field="run.to_d"
        )
    count = round((last - first) / step) + 1
    if count > _MOST_IN_RUN:
        raise OutOfRange(say(
            "That are {count} lenses; at most {most_in_run} at a time.",
            count=count, most_in_run=_MOST_IN_RUN,
        ), field="run.to_d")
    return [first + step * index for index in range(count)]


OPERATION = Operation("box", "The box of lenses: what is ready, expiring or expired.", ITEMS, run)
