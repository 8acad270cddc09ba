"""Spreadsheet files (.xlsx): the rows of the first sheet that has a list, as text."""

import io
import re
import warnings
import zipfile
from collections.abc import Iterator
from datetime import date, datetime
from pathlib import Path
from typing import Any

from studbook.book.errors import BookUnusable
from studbook.book.importing.columns import Column, columns_of
from studbook.words import _

_ZIP = b"PK\x03\x04"
# the older container of office files: a locked .xlsx or an .xls of before 2007
_OLE = bytes.fromhex("d0cf11e0a1b11ae1")
_ZEROS = re.compile(r"0{2,}")


def is_spreadsheet(content: bytes, path: Path) -> bool:
    """True when the bytes are an .xlsx file, whatever the file is called.

    Raises
    ------
    BookUnusable
        If they are an office file of another kind, or locked by a password.
    """
    if content.startswith(_OLE):
        if "EncryptedPackage".encode("utf-16-le") in content:
            text = _("{file} is locked with a password: save it without one and import it again.")
        else:
            text = _("{file} is an office file of an older kind: save it as .xlsx or CSV and import that.")
        raise BookUnusable(text.format(file=path))
    if not content.startswith(_ZIP):
        return False
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as package:
            names = package.namelist()
    except zipfile.BadZipFile as error:
        raise BookUnusable(_("{file} is damaged: it cannot be unpacked.").format(file=path)) from error
    if "xl/workbook.xml" not in names:
        raise BookUnusable(_("{file} is no .xlsx spreadsheet: save it as .xlsx or CSV.").format(file=path))
    return True


def sheet_records(content: bytes, path: Path) -> Iterator[tuple[int, tuple[str, ...]]]:
    """The rows of the first sheet with a heading for marks or names, each with its row number."""
    from openpyxl import load_workbook

    with warnings.catch_warnings():
        # the reader remarks on styles and validations it drops; neither says anything about a bird
        warnings.simplefilter("ignore", UserWarning)
        try:
            workbook = load_workbook(io.BytesIO(content), read_only=True, data_only=True)
            sheets = [tuple(_records(sheet)) for sheet in workbook.worksheets]
            workbook.close()
        except (KeyError, ValueError, TypeError, AttributeError, zipfile.BadZipFile, SyntaxError) as error:
            # what the reader raises for a package whose parts are missing or are not well-formed
            raise BookUnusable(
                _("{file} is damaged: its sheets cannot be read.").format(file=path)
            ) from error
    yield from next((records for records in sheets if _has_headings(records)), sheets[0] if sheets else ())


def _has_headings(records: tuple[tuple[int, tuple[str, ...]], ...]) -> bool:
    if not records:
        return False
    columns = columns_of(records[0][1])
    return Column.MARK in columns or Column.NAME in columns


def _records(sheet: Any) -> Iterator[tuple[int, tuple[str, ...]]]:
    # the size a file claims for its sheet is often wrong; without it the rows themselves are counted
    sheet.reset_dimensions()
    for number, row in enumerate(sheet.iter_rows(), start=1):
        cells = tuple(_text(cell.value, cell.number_format if cell.value is not None else "") for cell in row)
        if any(cell.strip() for cell in cells):
            yield number, cells


def _text(value: object, number_format: str) -> str:
    """A cell as a person would write it: dates in ISO 8601, whole numbers without a point."""
    if value is None:
        return ""
    if isinstance(value, datetime):
        return value.date().isoformat()
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, float) and value.is_integer():
        value = int(value)
    # a ring number 7 shown as 007 by its cell's format is meant as 007
    if isinstance(value, int) and not isinstance(value, bool) and _ZEROS.fullmatch(number_format):
        return str(value).zfill(len(number_format))
    return str(value)
