"""The figures of the line: each with its name, opened in place to what it means and how it is found."""

from PySide6.QtCore import QLocale, QSize, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout, QPushButton, QSizePolicy, QVBoxLayout, QWidget

from studbook.book.records import BirdId, Snapshot
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.prose import Prose
from studbook.desk.widgets.sentence_view import Paragraph, Style
from studbook.desk.widgets.text import label, link, rule
from studbook.desk.wording import bird_text
from studbook.planning.bloodlines.methods import Figure, Method
from studbook.planning.bloodlines.telling import FigureWords
from studbook.planning.sentences import Sentence, plain
from studbook.words import _

FIRST = (
    Figure.INBREEDING,
    Figure.TREND,
    Figure.REALISED_SIZE,
    Figure.FOUNDERS,
    Figure.FOUNDER_GENOME_EQUIVALENTS,
    Figure.COMPLETENESS,
)
"""The figures one sees at once; the others wait behind a link."""

_COLUMN = 176


def sentence_text(sentence: Sentence, snapshot: Snapshot) -> str:
    """A sentence as one plain text in the user's locale."""

    def called(bird: BirdId) -> str:
        return bird_text(snapshot.bird(bird))

    return plain(sentence, called, lambda number, places: QLocale().toString(number, "f", places))


def method_paragraphs(method: Method) -> list[Paragraph]:
    """How a figure is found, with the published sources."""
    return [
        Paragraph(((method.text,),), Style.REMARK),
        *(Paragraph(((source,),), Style.REMARK) for source in method.sources),
    ]


class FigureButton(QPushButton):
    """A figure under its name; pressed, it is opened."""

    def __init__(self, words: FigureWords, value: str) -> None:
        super().__init__()
        self.figure = words.figure
        self.setObjectName(f"figure_{words.figure.name.lower()}")
        self.setProperty("choice", True)
        self.setCheckable(True)
        self.setAccessibleName(_("{title}: {value}").format(title=words.title, value=value))
        self.setToolTip(_("What does it mean?"))
        column = QVBoxLayout(self)
        column.setContentsMargins(space(1), space(0.75), space(1), space(0.75))
        column.setSpacing(space(0.25))
        name = label(words.title, Role.CAPTION, wraps=True)
        figure = label(value, Role.HEADING, wraps=True)
        for part in (name, figure):
            part.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
            column.addWidget(part)
        column.addStretch(1)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        self.setCursor(Qt.CursorShape.PointingHandCursor)

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        layout = self.layout()
        assert layout is not None
        return layout.heightForWidth(width)

    def sizeHint(self) -> QSize:
        return QSize(length(_COLUMN), self.heightForWidth(length(_COLUMN)))

    def minimumSizeHint(self) -> QSize:
        return QSize(length(_COLUMN) * 3 // 4, self.heightForWidth(length(_COLUMN)))


class FigureStrip(QWidget):
    """The figures side by side, and below them the one that is open."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("bloodlines_figures")
        self._words: dict[Figure, FigureWords] = {}
        self._snapshot: Snapshot | None = None
        self._buttons: list[FigureButton] = []
        self._open: Figure | None = None
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(1))
        self._grid = QGridLayout()
        self._grid.setHorizontalSpacing(space(1))
        self._grid.setVerticalSpacing(space(0.5))
        column.addLayout(self._grid)
        self._more = link(_("more figures"), self._show_more)
        self._more.setObjectName("more_figures")
        column.addWidget(self._more)
        self._opened = QWidget()
        below = QVBoxLayout(self._opened)
        below.setContentsMargins(space(1), 0, 0, 0)
        below.setSpacing(space(0.5))
        below.addWidget(rule())
        self.explained = Prose("figure_explained", _("What this figure means"))
        self.explained.setMaximumWidth(length(820))
        below.addWidget(self.explained)
        shut = link(_("Close"), self.close_figure)
        shut.setObjectName("figure_close")
        below.addWidget(shut)
        below.addWidget(rule())
        self._opened.hide()
        column.addWidget(self._opened)

    def show_words(self, words: tuple[FigureWords, ...], snapshot: Snapshot) -> None:
        """Show other figures; the open one stays open."""
        self._words = {found.figure: found for found in words}
        self._snapshot = snapshot
        for button in self._buttons:
            button.hide()
            button.deleteLater()
        self._buttons = []
        order = [*FIRST, *(figure for figure in self._words if figure not in FIRST)]
        for figure in order:
            found = self._words[figure]
            button = FigureButton(found, sentence_text(found.value, snapshot))
            button.clicked.connect(self._toggle)
            self._buttons.append(button)
        self._arrange()
        if self._open is not None:
            self._explain(self._open)

    def close_figure(self) -> None:
        """Close the figure that is open."""
        was, self._open = self._open, None
        self._opened.hide()
        for button in self._buttons:
            button.setChecked(False)
            if button.figure is was:
                button.setFocus()

    def _toggle(self) -> None:
        button = self.sender()
        assert isinstance(button, FigureButton)
        if button.figure is self._open:
            self.close_figure()
        else:
            self._explain(button.figure)

    def _explain(self, figure: Figure) -> None:
        words, snapshot = self._words[figure], self._snapshot
        assert snapshot is not None
        self._open = figure
        for button in self._buttons:
            button.setChecked(button.figure is figure)
        self._opened.show()
        paragraphs = [
            Paragraph(((words.title,),), Style.LEAD),
            Paragraph((words.what,), Style.REMARK),
            Paragraph(words.meaning),
        ]
        if words.advice:
            paragraphs.append(Paragraph(words.advice))
        paragraphs.append(Paragraph(((_("How it is found: {method}").format(method=words.method.name),),)))
        paragraphs += method_paragraphs(words.method)
        self.explained.show_paragraphs(paragraphs, snapshot)

    def _show_more(self) -> None:
        self._more.hide()
        self._arrange()
        if len(self._buttons) > len(FIRST):
            self._buttons[len(FIRST)].setFocus()

    def _arrange(self) -> None:
        """As many in a row as there is room for."""
        across = max(2, min(len(FIRST), self.width() // (length(_COLUMN) + space(1)) or len(FIRST)))
        if across == 4 or across == 5:
            across = 3
        for number, button in enumerate(self._buttons):
            self._grid.addWidget(button, number // across, number % across)
            button.setVisible(number < len(FIRST) or self._more.isHidden())
        for column in range(len(FIRST)):
            self._grid.setColumnStretch(column, 1 if column < across else 0)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self._arrange()
