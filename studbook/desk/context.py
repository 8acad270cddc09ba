"""What a room is given: the record, the workers, the questions to the keeper, settings and today."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from PySide6.QtCore import QSettings

from studbook.desk.questions import Questions
from studbook.desk.record import Record
from studbook.desk.theme import Theme
from studbook.desk.work import Workers


@dataclass(frozen=True)
class Context:
    """Made once by the application and passed to the window and every room.

    Attributes
    ----------
    say
        Shows one quiet sentence in the message strip.
    """

    record: Record
    workers: Workers
    questions: Questions
    settings: QSettings
    theme: Theme
    say: Callable[[str], None]

    @property
    def today(self) -> date:
        """The day it is in the open book."""
        book = self.record.open_book
        return book.today if book is not None else date.today()
