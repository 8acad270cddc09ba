"""Help inside the program: the keys, the signs, and what the program stands on."""

import platform

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QAction, QKeySequence, QPainter, QPaintEvent
from PySide6.QtWidgets import QDialog, QGridLayout, QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from studbook import __version__, places
from studbook.book.records import Bird, BirdId, Sex, Status
from studbook.desk.theme import Role, length, look, space
from studbook.desk.widgets.palette import plain_text
from studbook.desk.widgets.shapes import paint_shape
from studbook.desk.widgets.text import SectionHeading, button, label
from studbook.words import _


def about_text() -> str:
    """Version, licence and the places that matter for a report."""
    lines = (
        _("Studbook {version}, the record of a small breeding flock. Free software under the MIT licence."),
        _(
            "Typefaces Vollkorn and Source Sans 3 (SIL Open Font Licence), icons Phosphor (MIT), window Qt (LGPL 3)."
        ),
        _("Your data lies in {folder}. The program opens no network connection."),
        _("{system}, Python {python}"),
    )
    return "\n\n".join(lines).format(
        version=__version__,
        folder=places.data_folder(),
        system=platform.platform(terse=True),
        python=platform.python_version(),
    )


class _Sign(QWidget):
    def __init__(self, bird: Bird) -> None:
        super().__init__()
        self._bird = bird
        self.setFixedSize(length(24), length(24))

    def paintEvent(self, event: QPaintEvent) -> None:
        side = length(16)
        place = QRectF(0, (self.height() - side) / 2, side, side)
        paint_shape(QPainter(self), place, self._bird, look().ink)


def _signs() -> tuple[tuple[Bird, str], ...]:
    def bird(sex: Sex, status: Status = Status.LIVING, *, placeholder: bool = False) -> Bird:
        return Bird(BirdId(""), sex=sex, status=status, placeholder=placeholder)

    return (
        (bird(Sex.COCK), _("cock")),
        (bird(Sex.HEN), _("hen")),
        (bird(Sex.UNKNOWN), _("sex not known")),
        (bird(Sex.HEN, Status.SOLD), _("outline: no longer in the flock")),
        (bird(Sex.HEN, Status.DIED), _("stroke: dead")),
        (bird(Sex.HEN, placeholder=True), _("dotted: a parent of whom nothing more is known")),
    )


class HelpPage(QDialog):
    """Every action with its key, and the signs used for birds."""

    def __init__(self, actions: list[QAction], parent: QWidget) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(_("Keys and signs"))
        page = QWidget()
        column = QVBoxLayout(page)
        column.setContentsMargins(space(3), space(2), space(3), space(3))
        column.addWidget(SectionHeading(_("Signs")))
        signs = QGridLayout()
        for place, (bird, words) in enumerate(_signs()):
            line = QHBoxLayout()
            line.addWidget(_Sign(bird))
            line.addWidget(label(words), 1)
            signs.addLayout(line, place // 2, place % 2)
        column.addLayout(signs)
        column.addWidget(SectionHeading(_("Keys")))
        keys = QGridLayout()
        keys.setHorizontalSpacing(space(3))
        keys.setColumnStretch(1, 1)
        with_keys = [action for action in actions if not action.shortcut().isEmpty()]
        for row, action in enumerate(with_keys):
            text = action.shortcut().toString(QKeySequence.SequenceFormat.NativeText)
            keys.addWidget(label(text, Role.FAINT), row, 0)
            keys.addWidget(label(plain_text(action)), row, 1)
        column.addLayout(keys)
        column.addStretch(1)
        area = QScrollArea()
        area.setFrameShape(QScrollArea.Shape.NoFrame)
        area.setWidgetResizable(True)
        area.setWidget(page)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, space(2))
        whole.addWidget(area)
        foot = QHBoxLayout()
        foot.addStretch(1)
        foot.addWidget(button(_("Close"), self.close))
        foot.addSpacing(space(3))
        whole.addLayout(foot)
        self.resize(length(620), length(620))

    def sizeHint(self) -> QSize:
        return QSize(length(620), length(620))
