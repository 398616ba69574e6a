"""What the columns mean, for programs (CSV on the Web) and for people (a codebook).

Metadata follows the W3C Recommendations *Metadata Vocabulary for Tabular Data* and *Model for
Tabular Data and Metadata on the Web* (17 December 2015): a table group with one schema per
file, datatypes with the limits of the glossary, keys between the tables. Names, units, limits
and meanings are the glossary's own, so the files, the screens and this page cannot differ.

Checked by ``tests/exchange/test_csvw.py`` with an independent reader.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from pycore.exchange.columns import COLUMNS, ENTRY_KEYS, EYE_KEYS, row_leaves
from pycore.exchange.csv_export import TABLES
from pycore.exchange.csv_text import Cell, Dialect, csv_text
from pycore.fields import FIELDS, Field
from pycore.records.case import Group, Node, Words

CONTEXT: Final = "http://www.w3.org/ns/csvw"
#: Units in plain letters; the files hold no others.
PLAIN_UNITS: Final = {"\u00b0": "degrees", "\u00b5m": "micrometres"}
_LETTERS: Final = str.maketrans({"\u00b0": " degrees", "\u00b5": "u", "\u2212": "-", "\u2019": "'"})
_WHOLE: Final = frozenset({"schema_version", "entry", "readings_count", "readings_withdrawn",
                           "readings_placements", "visits_count", "age_years"})
_TRUTH: Final = frozenset({"outcome_counts", "imported", "not_learned"})
_LISTS: Final = frozenset({"readings_instruments", "complications"})
_NEVER_EMPTY: Final = frozenset({"schema_version", "eye_id", "entry", "eye", "stage"})

CODEBOOK_HEADER: Final = ("table", "column", "unit", "kind", "lowest", "highest", "words", "meaning")


@dataclass(frozen=True, slots=True)
class Described:
    """One column of a table in words."""

    table: str
    name: str
    field: Field | None
    node: Node | None
    about: str

    @property
    def unit(self) -> str:
        unit = self.field.unit if self.field else ""
        return PLAIN_UNITS.get(unit, unit)

    @property
    def kind(self) -> str:
        """number, whole number, word, words, true or false, or text."""
        if self.name in _LISTS or isinstance(self.node, Words):
            return "words"
        if self.name in _WHOLE:
            return "whole number"
        if self.name in _TRUTH or isinstance(self.node, Group):
            return "true or false"
        return _KINDS.get(self.field.kind if self.field else "", "text")

    @property
    def meaning(self) -> str:
        meaning = self.field.meaning if self.field else ""
        about = f"({self.about})" if self.field and self.about else self.about
        return plain(" ".join(part for part in (meaning, about) if part))


_KINDS: Final = {"number": "number", "integer": "whole number", "choice": "word", "flag": "true or false"}


def plain(text: str) -> str:
    """``text`` in plain letters."""
    return text.translate(_LETTERS).encode("ascii", "replace").decode("ascii")


def described(table: str) -> Iterator[Described]:
    """Every column of ``table`` in its order."""
    for name, about in (EYE_KEYS if table == "eyes" else ENTRY_KEYS).items():
        yield Described(table, name, None, None, about)
    if table == "eyes":
        for column in COLUMNS:
            yield Described(table, column.name, FIELDS[column.field] if column.field else None,
                            column.leaf.node if column.leaf else None, column.about)
        return
    for leaf in row_leaves(table):
        field = FIELDS[leaf.field] if leaf.field else None
        about = "" if field else "true when the entry was withdrawn"
        if leaf.name == "complication_details":
            about = "key=value pairs joined by /, entries separated by blanks"
        yield Described(table, leaf.name, field, leaf.node, about)


def codebook(dialect: Dialect) -> str:
    """Every column of every table: unit, limits, words and meaning."""
    lines: list[list[Cell]] = [
        [one.table, one.name, one.unit, one.kind, *_limits(one), _words(one), one.meaning]
        for table in TABLES for one in described(table)
    ]
    return csv_text(CODEBOOK_HEADER, lines, dialect)


def _limits(one: Described) -> tuple[float | None, float | None]:
    return (one.field.lowest, one.field.highest) if one.field else (None, None)


def _words(one: Described) -> str | None:
    choices = one.field.choices if one.field else {}
    return plain(" | ".join(f"{word}: {label}" for word, label in choices.items())) or None


def metadata(names: Mapping[str, str], dialect: Dialect, notes: Sequence[str]) -> dict[str, Any]:
    """The metadata document; ``names`` gives each table's file."""
    return {
        "@context": [CONTEXT, {"@language": "en"}],
        "dc:title": "De-identified eyes with sclera-fixed lenses",
        "dc:description": " ".join(notes),
        "dialect": {"delimiter": dialect.separator, "header": True, "encoding": "utf-8",
                    "lineTerminators": ["\r\n"], "quoteChar": '"', "doubleQuote": True},
        "tables": [_table(table, names, dialect) for table in TABLES],
    }


def _table(table: str, names: Mapping[str, str], dialect: Dialect) -> dict[str, Any]:
    schema: dict[str, Any] = {
        "columns": [_column(one, dialect) for one in described(table)],
        "primaryKey": ["eye_id"] if table == "eyes" else ["eye_id", "entry"],
    }
    if table != "eyes":
        schema["foreignKeys"] = [{
            "columnReference": "eye_id",
            "reference": {"resource": names["eyes"], "columnReference": "eye_id"},
        }]
    return {"url": names[table], "tableSchema": schema}


def _column(one: Described, dialect: Dialect) -> dict[str, Any]:
    made: dict[str, Any] = {
        "name": one.name, "titles": one.name, "dc:description": one.meaning,
        "datatype": _DATATYPES[one.kind](one, dialect),
    }
    if one.unit:
        made["dc:extent"] = one.unit
    if one.kind == "words":
        made["separator"] = " "
    if one.name in _NEVER_EMPTY:
        made["required"] = True
    return made


def _numeric(base: str) -> Callable[[Described, Dialect], dict[str, Any]]:
    def make(one: Described, dialect: Dialect) -> dict[str, Any]:
        low, high = _limits(one)
        limits = {key: value for key, value in (("minimum", low), ("maximum", high)) if value is not None}
        mark = {"format": {"decimalChar": dialect.decimal_mark}} if dialect.decimal_mark != "." else {}
        return {"base": base, **limits, **mark}

    return make


def _word(one: Described, dialect: Dialect) -> dict[str, Any]:
    choices = one.field.choices if one.field else {}
    return {"base": "string", **({"format": f"^({'|'.join(choices)})$"} if choices else {})}


def _truth(one: Described, dialect: Dialect) -> dict[str, Any]:
    return {"base": "boolean", "format": "true|false"}


def _text(one: Described, dialect: Dialect) -> dict[str, Any]:
    return {"base": "string"}


_DATATYPES: Final[dict[str, Callable[[Described, Dialect], dict[str, Any]]]] = {
    "number": _numeric("decimal"),
    "whole number": _numeric("integer"),
    "word": _word,
    "words": _text,
    "true or false": _truth,
    "text": _text,
}
