"""The columns a list of birds may have, and the words people write above them."""

import re
from enum import StrEnum

from studbook.book.records import MarkKind


class Column(StrEnum):
    """A column the book understands, in the order in which a list is written."""

    ID = "id"
    MARK = "mark"
    NAME = "name"
    SEX = "sex"
    HATCHED = "hatched"
    SIRE = "sire"
    DAM = "dam"
    PARENTS = "parents"
    BREED = "breed"
    COLOUR = "colour"
    ORIGIN = "origin"
    STATUS = "status"
    LEFT = "left"
    NOTE = "note"


_SYNONYMS = {
    Column.ID: "uuid, bird id, id of bird",
    Column.MARK: """marks, ring, rings, ring no, ring nr, ring number, ringed, leg ring, leg ring number,
        legring, band, bands, band no, band number, leg band, tag, tag no, tag number, wing tag,
        wing tag number, wingtag, microchip, microchip number, chip, chip number, mark number,
        identification, identity""",
    Column.NAME: "bird, bird name, name of bird, called, call name, pet name",
    Column.SEX: "gender, m f, cock hen, cock or hen",
    Column.HATCHED: """hatch, hatch date, hatched on, date hatched, date of hatch, date of hatching,
        hatching date, hatch day, hatch year, year hatched, year of hatch, year, born, born on, birth, birth date,
        birthdate, birthday, date of birth, dob, date born, year of birth""",
    Column.SIRE: """father, sire mark, sire ring, sire ring number, sire no, sire number,
        sire name, sire id, father mark, father ring, father name, cock, cock bird, male parent, sires""",
    Column.DAM: """mother, dam mark, dam ring, dam ring number, dam no, dam number, dam name, dam id,
        mother mark, mother ring, mother name, hen, hen bird, female parent, dams""",
    Column.PARENTS: "parent, parentage, pair, pairs, parent pairs, pairing, mating, sire x dam, sire and dam",
    Column.BREED: "breeds, breed name",
    Column.COLOUR: """color, colours, colors, plumage, plumage colour, plumage color, colour variety, variety,
        feather colour""",
    Column.ORIGIN: "origins, source, bought from, came from, from, from yard, supplier, origin yard, yard",
    Column.STATUS: "state, state now, status now, whereabouts",
    Column.LEFT: """left on, date left, left date, leaving date, date of leaving, departed, gone, gone on,
        date gone, out, status date, date out""",
    Column.NOTE: "notes, remark, remarks, comment, comments, note on bird, observations",
}


def heading_key(heading: str) -> str:
    """`heading` without case, punctuation and doubled spaces, as headings are compared."""
    return " ".join(re.sub(r"[\W_]+", " ", heading.casefold()).split())


_MEANING = {column.value: column for column in Column} | {
    heading_key(word): column for column, words in _SYNONYMS.items() for word in words.split(",")
}


def column_called(heading: str) -> Column | None:
    """The column that people call `heading`, or None."""
    return _MEANING.get(heading_key(heading))


def columns_of(headings: tuple[str, ...]) -> tuple[Column | None, ...]:
    """The column behind each heading; None for one the book has no place of its own for.

    A column's own name wins over another word for it; of two other words the first is taken.
    """
    keys = [heading_key(heading) for heading in headings]
    exact = {key for key in keys if key in Column.__members__.values()}
    found: list[Column | None] = []
    for key in keys:
        column = _MEANING.get(key)
        free = column is not None and column not in found and (key == column or column not in exact)
        found.append(column if free else None)
    return tuple(found)


def mark_kind(heading: str) -> MarkKind:
    """The kind of own mark a column headed `heading` holds: a numbered ring unless it says otherwise."""
    key = heading_key(heading)
    if "tag" in key:
        return MarkKind.WING_TAG
    return MarkKind.MICROCHIP if "chip" in key else MarkKind.RING
