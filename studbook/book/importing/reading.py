"""From the bytes of a file to a table: CSV as people's spreadsheets write it, and .xlsx."""

import codecs
import csv
import io
import re
from collections.abc import Iterable, Iterator
from pathlib import Path

from studbook.book.errors import BookUnusable
from studbook.book.importing.columns import Column, column_called, columns_of, heading_key, mark_kind
from studbook.book.importing.guard import unguarded
from studbook.book.importing.sheets import is_spreadsheet, sheet_records
from studbook.book.importing.table import LineProblem, Table, TableRow
from studbook.words import _

DELIMITERS = ",;\t"

# the bytes a text may begin with to say how it is written; UTF-32 must be asked before UTF-16
_BYTE_ORDER_MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)

_CONTROL = re.compile("[\x00-\x08\x0e-\x1f\x7f]")

Record = tuple[int, tuple[str, ...]]
"""The line a record begins on, and its fields."""


def read_table(path: Path) -> Table:
    """The list in the file at `path`.

    Raises
    ------
    BookUnusable
        If there is no such file, or it is no list: empty, a picture, a document, locked by a password.
    """
    try:
        content = path.read_bytes()
    except OSError as error:
        reason = error.strerror or str(error)
        raise BookUnusable(_("{file} cannot be read: {reason}.").format(file=path, reason=reason)) from error
    if is_spreadsheet(content, path):
        return _table(sheet_records(content, path), path)
    text, encoding = decoded(content, path)
    if not text.strip(f'{DELIMITERS}" \r\n'):
        raise BookUnusable(_("{file} is empty.").format(file=path))
    delimiter, start = delimiter_of(text)
    return _table(_csv_records(text, delimiter, start), path, encoding, delimiter)


def decoded(content: bytes, path: Path) -> tuple[str, str]:
    """The text of a file and its encoding: by the byte-order mark, else UTF-8, else Windows-1252."""
    for mark, encoding in _BYTE_ORDER_MARKS:
        if content.startswith(mark):
            candidates = [encoding]
            break
    else:
        candidates = ["utf-8", "windows-1252"]
    for encoding in candidates:
        try:
            text = content.decode(encoding)
        except UnicodeDecodeError:
            continue
        # the end-of-file sign of old systems is no sign of a picture
        text = text.rstrip("\x1a")
        if not _CONTROL.search(text):
            return text, encoding
    raise BookUnusable(
        _("{file} is no list of birds: it is neither a text with commas nor an .xlsx spreadsheet.").format(
            file=path
        )
    )


def delimiter_of(text: str) -> tuple[str, int]:
    """What separates the fields, judged by the heading line, and how many leading lines only say so.

    The heading line is cut with each delimiter in turn; the one under which most headings are known wins,
    then the one that gives most fields.
    """
    first = text.partition("\n")[0].strip().strip('"')
    said = re.fullmatch(r"sep=([,;\t])", first, re.IGNORECASE)
    if said:
        return said[1], 1

    def suits(delimiter: str) -> tuple[int, int]:
        try:
            fields = next(_filled(_csv_records(text, delimiter, 0)))[1]
        except _UnreadableLineError:
            return 0, 0
        return sum(column_called(field) is not None for field in fields), len(fields)

    return max(DELIMITERS, key=suits), 0


class _UnreadableLineError(ValueError):
    """The record that begins at `line` is not well-formed CSV."""

    def __init__(self, line: int) -> None:
        super().__init__(line)
        self.line = line


def _csv_records(text: str, delimiter: str, start: int) -> Iterator[Record]:
    """The records of a CSV text after the first `start` lines, each with the line it begins on.

    A field that opens a quotation mark and never closes it would swallow the rest of the list unseen; strict
    reading finds it.
    """
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    while True:
        line = reader.line_num + 1
        try:
            fields = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            raise _UnreadableLineError(line) from error
        if line > start:
            yield line, tuple(fields)


def _filled(records: Iterable[Record]) -> Iterator[Record]:
    """The records that are not empty lines."""
    return ((line, fields) for line, fields in records if any(field.strip() for field in fields))


def _table(records: Iterable[Record], path: Path, encoding: str = "", delimiter: str = "") -> Table:
    filled = _filled(records)
    rows: list[TableRow] = []
    problems: list[LineProblem] = []
    headings: tuple[str, ...] = ()
    columns: tuple[Column | None, ...] = ()
    try:
        line, headings = next(filled, (1, ()))
        if not headings:
            raise BookUnusable(_("{file} is empty.").format(file=path))
        headings = tuple(heading.strip() for heading in headings)
        columns = columns_of(headings)
        problems += _heading_problems(line, headings, columns)
        for line, fields in filled:
            rows.append(_row(line, fields, headings, columns))
            if any(field.strip() for field in fields[len(headings) :]):
                problems.append(LineProblem(line, "", _too_many_fields(len(fields), len(headings))))
    except _UnreadableLineError as error:
        message = _(
            "A quotation mark in this line is not closed or stands inside a field: close it, or double "
            "it inside quotes."
        )
        problems.append(LineProblem(error.line, "", message))
    marks = [heading for heading, column in zip(headings, columns, strict=True) if column is Column.MARK]
    return Table(
        columns=tuple(column for column in columns if column),
        rows=tuple(rows),
        other_columns=_other_columns(headings, columns, rows),
        encoding=encoding,
        delimiter=delimiter,
        mark_kind=mark_kind(marks[0] if marks else ""),
        problems=tuple(problems),
    )


def _row(
    line: int, fields: tuple[str, ...], headings: tuple[str, ...], columns: tuple[Column | None, ...]
) -> TableRow:
    cells: dict[Column, str] = {}
    others: list[tuple[str, str]] = []
    for heading, column, field in zip(headings, columns, fields, strict=False):
        if not field or field.isspace():
            continue
        text = unguarded(field)
        # a note is the keeper's own text, line breaks and all; elsewhere surrounding spaces mean nothing
        if column is Column.NOTE:
            cells[column] = text
        elif column:
            cells[column] = text.strip()
        else:
            others.append((heading, text.strip()))
    return TableRow(line, cells, tuple(others))


def _other_columns(
    headings: tuple[str, ...], columns: tuple[Column | None, ...], rows: list[TableRow]
) -> tuple[str, ...]:
    """The headings without a column of their own; one without a word above it counts when a row fills it."""
    filled = {heading for row in rows for heading, _text in row.others}
    others = (heading for heading, column in zip(headings, columns, strict=True) if column is None)
    return tuple(dict.fromkeys(heading for heading in others if heading or heading in filled))


def _heading_problems(
    line: int, headings: tuple[str, ...], columns: tuple[Column | None, ...]
) -> Iterator[LineProblem]:
    if Column.MARK not in columns and Column.NAME not in columns:
        yield LineProblem(
            line,
            "",
            _(
                "The first line has no column “mark” or “name” (it reads {headings}): write the "
                "headings there."
            ).format(headings=", ".join(f"“{heading}”" for heading in headings[:8])),
        )
    keys = [heading_key(heading) for heading in headings]
    for column in Column:
        if keys.count(column) > 1:
            yield LineProblem(
                line,
                column,
                _("Two columns are headed “{column}”: keep one of them.").format(column=column.value),
            )


def _too_many_fields(found: int, headed: int) -> str:
    return _(
        "This line has {found} fields under {headed} headings: put a field that contains the separator in "
        "quotes."
    ).format(found=found, headed=headed)
