"""A book written as a list that the import reads back: CSV, or a spreadsheet when the name ends in .xlsx.

Written whole or not at all. The import finds the same birds and parents in it, for the columns it has.
"""

import csv
import io
import os
import re
from collections import Counter
from collections.abc import Iterable, Iterator
from pathlib import Path

from studbook.book.errors import BookUnusable
from studbook.book.importing.columns import Column
from studbook.book.importing.drafting import own_mark
from studbook.book.importing.guard import guarded
from studbook.book.importing.values import PLACEHOLDER, UNKNOWN_PARENT, is_unknown_word
from studbook.book.importing.who import folded
from studbook.book.records import Bird, BirdId, Pair, Snapshot
from studbook.words import _

# what a cell of parents is cut at; a name that has it is written as an id
_CUT_AT = re.compile(r"[|=×]|\s[xX]\s")


def export_csv(snapshot: Snapshot, path: Path) -> None:
    """Write every bird of `snapshot` that is not struck out to `path`.

    Raises
    ------
    BookUnusable
        If the file cannot be written; what stood there before stays.
    """
    write_list(snapshot, snapshot.birds, path)


def write_list(snapshot: Snapshot, birds: Iterable[Bird], path: Path) -> None:
    """Write `birds` of `snapshot` to `path`, in their order; parents outside them are named all the same.

    Raises
    ------
    BookUnusable
        If the file cannot be written; what stood there before stays.
    """
    rows = [tuple(Column), *_rows(snapshot, birds)]
    content = _sheet(rows) if path.suffix.lower() == ".xlsx" else _csv(rows)
    try:
        _replace(path, content)
    except OSError as error:
        reason = error.strerror or str(error)
        message = _("{file} cannot be written: {reason}.").format(file=path, reason=reason)
        raise BookUnusable(message) from error


def _rows(snapshot: Snapshot, birds: Iterable[Bird]) -> Iterator[tuple[str, ...]]:
    references = _references(snapshot)
    origins = {origin.id: origin.name for origin in snapshot.origins}
    for bird in birds:
        cells = {
            Column.ID: bird.id,
            Column.MARK: mark.code if (mark := own_mark(bird)) else "",
            Column.NAME: bird.name,
            Column.SEX: bird.sex.value,
            Column.HATCHED: str(bird.hatched),
            Column.BREED: bird.breed,
            Column.COLOUR: bird.colour,
            Column.ORIGIN: origins[bird.origin] if bird.origin else "",
            Column.STATUS: PLACEHOLDER if bird.placeholder else bird.status.value,
            Column.LEFT: str(bird.left),
            Column.NOTE: bird.note,
        } | _parents(bird.pairs, references)
        yield tuple(guarded(cells.get(column, "")) for column in Column)


def _parents(pairs: tuple[Pair, ...], references: dict[BirdId, str]) -> dict[Column, str]:
    """Certain parents in columns of their own, candidate pairs as they belong together."""

    def written(parent: BirdId | None) -> str:
        # a parent struck out of the book has no line to refer to
        return references.get(parent, UNKNOWN_PARENT) if parent else UNKNOWN_PARENT

    if len(pairs) == 1:
        sides = {Column.SIRE: written(pairs[0].sire), Column.DAM: written(pairs[0].dam)}
        return {column: text for column, text in sides.items() if text != UNKNOWN_PARENT}
    texts = (f"{written(pair.sire)} x {written(pair.dam)} = {pair.weight!r}" for pair in pairs)
    return {Column.PARENTS: " | ".join(texts)}


def _references(snapshot: Snapshot) -> dict[BirdId, str]:
    """What a cell calls each bird: its mark or name where only that bird can be meant, else its id."""
    count = Counter(key for bird in snapshot.birds for key in {folded(text) for text in _callings(bird)})

    def reference(bird: Bird) -> str:
        mark = own_mark(bird)
        for text in (mark.code if mark else "", bird.name):
            plain = text == text.strip() and not _CUT_AT.search(f" {text} ") and not is_unknown_word(text)
            if text and plain and count[folded(text)] == 1:
                return text
        return bird.id

    return {bird.id: reference(bird) for bird in snapshot.birds}


def _callings(bird: Bird) -> Iterator[str]:
    yield from (mark.code for mark in bird.marks)
    yield bird.id
    if bird.name:
        yield bird.name


def _csv(rows: Iterable[tuple[str, ...]]) -> bytes:
    text = io.StringIO(newline="")
    csv.writer(text).writerows(rows)
    # spreadsheets take a list for UTF-8 only when a byte-order mark says so
    return text.getvalue().encode("utf-8-sig")


def _sheet(rows: Iterable[tuple[str, ...]]) -> bytes:
    from openpyxl import Workbook
    from openpyxl.cell import WriteOnlyCell
    from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE

    workbook = Workbook(write_only=True)
    sheet = workbook.create_sheet("birds")
    sheet.freeze_panes = "A2"
    for row in rows:
        cells = []
        for text in row:
            cell = WriteOnlyCell(sheet, ILLEGAL_CHARACTERS_RE.sub(" ", text) or None)
            # "@" is the format of text: a ring number 007 stays as it is
            cell.number_format = "@"
            cells.append(cell)
        sheet.append(cells)
    content = io.BytesIO()
    workbook.save(content)
    return content.getvalue()


def _replace(path: Path, content: bytes) -> None:
    """Put `content` at `path` in one step."""
    temporary = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        with temporary.open("wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        if path.exists():
            temporary.chmod(path.stat().st_mode)
        temporary.replace(path)
    finally:
        temporary.unlink(missing_ok=True)
