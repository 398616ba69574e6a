"""What an export is asked for, parts on their way through JSON, and the answer about groups."""

from __future__ import annotations

from typing import Any, Final

from pycore.api.schema import Item, Notes, Reader, flag, listing, optional, text, whole
from pycore.errors import OutOfRange, UnknownChoice, WrongType
from pycore.exchange.columns import COLUMNS, ROW_TABLES, row_leaves
from pycore.exchange.csv_export import Part, person_of
from pycore.exchange.csv_text import DIALECTS, POINT, Cell, Dialect
from pycore.exchange.groups import AGE_BANDS, SMALL_GROUP, YEAR_BANDS, Bands, coarser, hiding
from pycore.words import say

_MOST_WIDTH: Final = 20
#: More entries of one kind than any eye has.
_MOST_ENTRIES: Final = 500


def _width(widths: tuple[int | None, ...]) -> Reader:
    allowed = {0 if width is None else width for width in widths}
    inner = whole(0, _MOST_WIDTH)

    def read(value: Any, path: str, notes: Notes) -> int:
        width: int = inner(value, path, notes)
        if width not in allowed:
            listed = ", ".join(map(str, sorted(allowed)))
            raise OutOfRange(say(
                "{path} must be one of {listed}; 0 leaves it out of the file.",
                path=path, listed=listed,
            ), field=path)
        return width

    return read


def _variant(value: Any, path: str, notes: Notes) -> str:
    if not isinstance(value, str) or value not in DIALECTS:
        raise UnknownChoice(say(
            "{path} must be one of {listed}.",
            path=path, listed=", ".join(DIALECTS),
        ), field=path)
    return value


BAND_ITEMS: Final[tuple[Item, ...]] = (
    optional("age_band_years", _width(AGE_BANDS), default=10, about="Years of age together; 0: no age."),
    optional("year_band_years", _width(YEAR_BANDS), default=0, about="Years of surgery; 0: no year."),
    optional("with_sex", flag, default=True),
    optional("with_indication", flag, default=True),
    optional("variant", _variant, default=POINT.name,
             about="point: commas and decimal points. comma: semicolons and decimal commas."),
)


def bands_of(request: dict[str, Any]) -> Bands:
    """The bands that a request asks for."""
    return Bands(
        age_years=request["age_band_years"] or None,
        year_years=request["year_band_years"] or None,
        sex=request["with_sex"],
        indication=request["with_indication"],
    )


def dialect_of(request: dict[str, Any]) -> Dialect:
    """The variant that a request asks for."""
    return DIALECTS[request["variant"]]


def bands_value(bands: Bands) -> dict[str, Any]:
    """Bands as the request's items."""
    return {
        "age_band_years": bands.age_years or 0, "year_band_years": bands.year_years or 0,
        "with_sex": bands.sex, "with_indication": bands.indication,
    }


def groups_value(parts: list[Part], bands: Bands) -> dict[str, Any]:
    """The smallest group with these bands, and with each coarser choice."""
    persons = [person_of(part, place) for place, part in enumerate(parts)]
    now = hiding(persons, bands)
    return {
        "smallest": now.smallest,
        "in_small": now.in_small,
        "small_means_under": SMALL_GROUP,
        "bands": bands_value(bands),
        "coarser": [
            {"words": words, "bands": bands_value(other), "smallest": found.smallest,
             "in_small": found.in_small}
            for words, other in coarser(bands)
            for found in (hiding(persons, other),)
        ] if now.in_small else [],
    }


def part_value(part: Part) -> dict[str, Any]:
    """A part as JSON."""
    return {"person": part.person, "eye": part.eye, "entries": part.entries}


def _cells(width: int) -> Reader:
    def read(value: Any, path: str, notes: Notes) -> list[Cell]:
        if not isinstance(value, list) or len(value) != width:
            raise WrongType(say(
                "{path} is not a part as export_part gives it. Make the part again.",
                path=path,
            ), field=path)
        for cell in value:
            if cell is not None and not isinstance(cell, str | int | float | bool):
                raise WrongType(say(
                    "{path} holds something that is no cell. Make the part again.",
                    path=path,
                ), field=path)
        return value

    return read


_EYE: Final = _cells(len(COLUMNS))
_ENTRIES: Final = {
    table: listing(_cells(len(row_leaves(table))), most=_MOST_ENTRIES) for table in ROW_TABLES
}


def part(value: Any, path: str, notes: Notes) -> Part:
    """A part as :func:`part_value` wrote it."""
    if not isinstance(value, dict) or not isinstance(value.get("entries"), dict):
        raise WrongType(say(
            "{path} is not a part as export_part gives it. Make the part again.",
            path=path,
        ), field=path)
    person = value.get("person")
    return Part(
        None if person is None else text(person, f"{path}.person", notes),
        _EYE(value.get("eye"), f"{path}.eye", notes),
        {table: read(value["entries"].get(table), f"{path}.entries.{table}", notes)
         for table, read in _ENTRIES.items()},
    )
