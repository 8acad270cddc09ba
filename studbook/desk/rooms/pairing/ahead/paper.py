"""The years ahead on paper: the sentences, the charts, each policy, what a bought cock does, and the methods."""

from PySide6.QtCore import QByteArray, QLocale, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QPainter
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtSvg import QSvgRenderer

from studbook.book.records import BirdId, Snapshot
from studbook.desk.look import read_look
from studbook.desk.printing import DRAWING_DPI
from studbook.desk.rooms.pairing.ahead.numbers import Answer, Bought
from studbook.desk.theme import Type, typeface
from studbook.desk.wording import bird_text, day_text
from studbook.drawing.charts.chart import ChartDrawing, draw_chart
from studbook.planning.forecast.methods import Ahead, ahead_method
from studbook.planning.sentences import Sentence, plain
from studbook.words import _

_GAP = 8.0


class AheadPaper:
    """The pages of one answer, with what was worked out of a bought cock."""

    def __init__(self, answer: Answer, bought: Bought | None, snapshot: Snapshot) -> None:
        self._answer, self._bought, self._snapshot = answer, bought, snapshot
        self._look = read_look(dark=False)

    def paint(self, printer: QPrinter, painter: QPainter) -> None:
        """Paint all pages."""
        scale = printer.resolution() / DRAWING_DPI
        paper = printer.pageLayout().paintRectPixels(printer.resolution())
        self._page = QRectF(0, 0, paper.width() / scale, paper.height() / scale)
        self._printer, self._painter = printer, painter
        self._y = 0.0
        painter.scale(scale, scale)
        self._head()
        for course in self._answer.courses:
            self._need(70)
            self._text(course.name, typeface(Type.LARGE, serif=True))
            self._text(course.line, typeface(Type.SMALL), self._look.faint)
            self._text(self._said((*course.sentences, course.founders)), typeface(Type.BODY))
            self._y += _GAP
        for chart in self._answer.charts.values():
            self._chart(draw_chart(chart, self._page.width(), titled=True))
        if self._bought is not None:
            self._buying(self._bought)
        for figure in Ahead:
            if figure is Ahead.BUYING and self._bought is None:
                continue
            method = ahead_method(figure)
            said = " ".join((f"{method.name}:", method.text, *method.sources))
            self._text(said, typeface(Type.SMALL), self._look.faint)

    def _head(self) -> None:
        question, yard = self._answer.question, self._snapshot.details.yard
        title = _("The years ahead, {yard}").format(yard=yard) if yard else _("The years ahead")
        self._text(title, typeface(Type.HEADING, serif=True))
        basis = _("{day}. {runs} runs from seed {seed}. {basis}").format(
            day=day_text(question.today), runs=question.runs, seed=question.seed, basis=self._answer.basis
        )
        self._text(basis, typeface(Type.SMALL), self._look.faint)
        self._y += _GAP
        for sentence in self._answer.summary:
            self._text(self._said((sentence,)), typeface(Type.LARGE, serif=True))
        self._y += _GAP

    def _buying(self, bought: Bought) -> None:
        self._need(80)
        heading = _("When to buy in a cock, under the policy “{policy}”").format(policy=bought.policy.name)
        self._text(heading, typeface(Type.LARGE, serif=True))
        self._text(self._said(bought.sentences), typeface(Type.BODY))
        self._chart(draw_chart(bought.rows[0].chart, self._page.width(), titled=True))

    def _said(self, sentences: tuple[Sentence, ...]) -> str:
        def called(bird: BirdId) -> str:
            return bird_text(self._snapshot.bird(bird))

        def number(value: float, places: int) -> str:
            return QLocale().toString(value, "f", places)

        said = " ".join(plain(sentence, called, number) for sentence in sentences)
        return said.replace(" %", "\N{NO-BREAK SPACE}%")

    def _chart(self, drawing: ChartDrawing) -> None:
        height = min(drawing.height, self._page.height())
        self._need(height)
        width = drawing.width * height / drawing.height
        QSvgRenderer(QByteArray(drawing.svg.encode())).render(
            self._painter, QRectF(0, self._y, width, height)
        )
        self._y += height + _GAP

    def _text(self, text: str, face: QFont, ink: QColor | None = None) -> None:
        """A paragraph across the page."""
        self._painter.setFont(face)
        flags = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft
        room = QRectF(0, self._y, self._page.width(), 10_000)
        needed = self._painter.boundingRect(room, flags, text).height()
        self._need(needed)
        self._painter.setFont(face)
        self._painter.setPen(ink or self._look.ink)
        self._painter.drawText(QRectF(0, self._y, self._page.width(), needed + 2), flags, text)
        self._y += needed + 3

    def _need(self, height: float) -> None:
        """Turn the page when less than `height` is left."""
        if self._y + height > self._page.height() and self._y > 0:
            self._printer.newPage()
            self._y = 0.0
