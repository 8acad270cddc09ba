"""What was decided of a bird, season by season: chosen, in reserve or not to breed, and why."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QVBoxLayout, QWidget

from studbook.book.husbandry.wording import verdict_word
from studbook.book.records import Bird, Snapshot
from studbook.desk.theme import space
from studbook.desk.widgets.text import SectionHeading, label
from studbook.words import _


class ChoiceView(QWidget):
    """A line for each season of which something was decided, the latest first; nothing where nothing was."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("page_choice")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(1))
        column.addWidget(SectionHeading(_("Chosen to breed")))
        self._told = label("", wraps=True)
        self._told.setObjectName("page_choice_told")
        self._told.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        column.addWidget(self._told)

    def show_bird(self, bird: Bird, snapshot: Snapshot) -> None:
        """Show what was decided of a bird."""
        lines = []
        for choice in snapshot.husbandry.choices_of.get(bird.id, ()):
            text = _("{season}: {verdict} – {reason}") if choice.reason else _("{season}: {verdict}")
            lines.append(
                text.format(season=choice.season, verdict=verdict_word(choice.verdict), reason=choice.reason)
            )
        self._told.setText("\n".join(lines))
        self.setVisible(bool(lines))
