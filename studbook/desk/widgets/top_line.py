"""The one line above every room: whose book, find, today."""

from datetime import date

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLineEdit, QSizePolicy, QWidget

from studbook.book.records import Bird
from studbook.desk import icons
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.bird_picker import FindEdit, Search
from studbook.desk.widgets.text import label
from studbook.desk.wording import day_text
from studbook.words import _


class TopLine(QFrame):
    """Book name, find field and the day.

    Signals
    -------
    bird_asked
        A bird was found and chosen (str, its BirdId).
    """

    bird_asked = Signal(str)

    def __init__(self, search: Search, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("top_line")
        row = QHBoxLayout(self)
        row.setContentsMargins(space(4), space(1), space(4), space(1))
        row.setSpacing(space(3))
        self._name = label("", Role.HEADING)
        self._name.setObjectName("book_name")
        self._name.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.finder = FindEdit()
        self.finder.setObjectName("find")
        self.finder.setProperty("quiet", True)
        self.finder.setPlaceholderText(_("find a bird by mark or name"))
        self.finder.setAccessibleName(_("Find a bird"))
        self.finder.addAction(icons.icon("magnifying-glass"), QLineEdit.ActionPosition.LeadingPosition)
        self.finder.setMinimumWidth(length(200))
        self.finder.setMaximumWidth(length(420))
        self.finder.set_search(search)
        self.finder.picked.connect(self._go)
        self._today = label("", Role.TODAY)
        self._today.setObjectName("today")
        self._today.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self._today.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        row.addWidget(self._name, 2)
        row.addWidget(self.finder, 3)
        row.addWidget(self._today, 2)

    def show_book(self, name: str, today: date, *, read_only: bool) -> None:
        """Say whose book it is and which day."""
        self._name.setText(name)
        day = day_text(today)
        self._today.setText(_("{day} · read only").format(day=day) if read_only else day)
        self._today.setToolTip(_("Today is {day}").format(day=day))

    def _go(self, bird: Bird) -> None:
        self.finder.clear()
        self.bird_asked.emit(str(bird.id))
