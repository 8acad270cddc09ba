"""What can go wrong with a book, in words fit for its keeper."""

from dataclasses import dataclass
from enum import StrEnum


class Severity(StrEnum):
    """An error refuses the change; a warning is shown and kept."""

    ERROR = "error"
    WARNING = "warning"


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing the record does not allow or should make the keeper look.

    Attributes
    ----------
    kind
        A stable word for programs: ``loop``, ``sex``, ``duplicate mark``, ``date``, ...
    message
        One sentence that names the bird, the field and the remedy.
    birds
        The birds concerned, each as the keeper calls it (mark, else name).
    field
        The field of a form the sentence belongs to, or empty.
    """

    kind: str
    message: str
    birds: tuple[str, ...] = ()
    severity: Severity = Severity.ERROR
    field: str = ""

    @property
    def is_error(self) -> bool:
        """True when it refuses the change."""
        return self.severity is Severity.ERROR


class StudbookError(Exception):
    """The base of every error a user can be told about."""


class RecordProblems(StudbookError):  # noqa: N818 - reads as what it carries
    """A change the record refuses; `problems` are the user's to mend and nothing was saved."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        super().__init__("\n".join(problem.message for problem in problems))
        self.problems = problems


class BookUnusable(StudbookError):  # noqa: N818 - the file, not the program, is at fault
    """The file is locked, full, damaged, too new or no book: one sentence says which."""
