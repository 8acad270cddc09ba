"""A list of birds as it was read: rows of text under the columns the book knows."""

from collections.abc import Mapping
from dataclasses import dataclass

from studbook.book.errors import Severity
from studbook.book.importing.columns import Column
from studbook.book.records import MarkKind


@dataclass(frozen=True, slots=True)
class LineProblem:
    """What is wrong, or worth a look, in one line of a list; `column` is empty when it is the whole line."""

    line: int
    column: str
    message: str
    severity: Severity = Severity.ERROR

    @property
    def is_error(self) -> bool:
        """True when it refuses the import."""
        return self.severity is Severity.ERROR


@dataclass(frozen=True, slots=True)
class TableRow:
    """One bird's line: the filled cells of known columns, and of others under their headings."""

    line: int
    cells: Mapping[Column, str]
    others: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Table:
    """A list as read.

    Attributes
    ----------
    columns
        The known columns it has, in its own order.
    other_columns
        The headings of its other columns.
    encoding, delimiter
        How the text was read; both empty for a spreadsheet file.
    problems
        What is wrong with the shape of the list: no column for a mark or a name, an open quotation mark.
    """

    columns: tuple[Column, ...]
    rows: tuple[TableRow, ...]
    other_columns: tuple[str, ...] = ()
    encoding: str = ""
    delimiter: str = ""
    mark_kind: MarkKind = MarkKind.RING
    problems: tuple[LineProblem, ...] = ()
