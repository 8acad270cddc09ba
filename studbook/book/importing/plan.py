"""What a list would do to a book: the birds it adds and changes, and everything that is in the way."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from studbook.book.importing.columns import Column
from studbook.book.importing.table import LineProblem
from studbook.book.importing.written_dates import DateOrder
from studbook.book.records import Bird, BirdId, Origin


@dataclass(frozen=True, slots=True)
class WhichOrder:
    """The question in which order the dates of a column are written; `example` is one of them."""

    column: Column
    line: int
    example: str


@dataclass(frozen=True, slots=True)
class Candidate:
    """A bird a written name may mean, as the keeper calls it, and its line when the list brings it."""

    bird: BirdId
    called: str
    line: int | None


@dataclass(frozen=True, slots=True)
class WhichBird:
    """The question which bird is meant by what stands in a sire, dam or parents cell.

    Attributes
    ----------
    written, key
        What the first of `lines` has, and the form in which the others have the same.
    candidates
        The birds it can be. The answer is a place among them; they stay in this order however often the
        list is read.
    """

    side: Column
    written: str
    key: str
    lines: tuple[int, ...]
    candidates: tuple[Candidate, ...]


Question = WhichOrder | WhichBird
Answers = Mapping[tuple[Column, str], int]
"""For `side` and `key` of a `WhichBird`, the place of the bird meant among its candidates."""


@dataclass(frozen=True)
class ImportPlan:
    """What importing a list would do.

    Attributes
    ----------
    added
        New birds, in the order of the list.
    updated
        Birds of the book before and after.
    unchanged
        How many lines say what the book already says.
    problems
        By line, errors and warnings alike; a question not yet answered is one of them.
    questions
        What only the keeper knows; answered by `date_order` and `answers` of `read_list`.
    other_columns
        Headings the book has no place for: their cells are kept in the notes.
    date_order
        The order taken for dates in figures, when it made a difference.
    lines
        The line each bird of the list stands on.
    """

    added: tuple[Bird, ...] = ()
    updated: tuple[tuple[Bird, Bird], ...] = ()
    unchanged: int = 0
    origins_added: tuple[Origin, ...] = ()
    problems: tuple[LineProblem, ...] = ()
    questions: tuple[Question, ...] = ()
    columns: tuple[Column, ...] = ()
    other_columns: tuple[str, ...] = ()
    encoding: str = ""
    delimiter: str = ""
    date_order: DateOrder | None = None
    lines: Mapping[BirdId, int] = field(default_factory=dict)

    @property
    def errors(self) -> tuple[LineProblem, ...]:
        """The problems that refuse the import."""
        return tuple(problem for problem in self.problems if problem.is_error)

    @property
    def is_accepted(self) -> bool:
        """True when nothing refuses it."""
        return not self.errors
