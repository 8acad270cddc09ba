"""The report on paper: sentences, every figure with its meaning, and the charts."""

from PySide6.QtCore import QByteArray, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QPainter
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtSvg import QSvgRenderer

from studbook.book.records import Snapshot
from studbook.desk.look import read_look
from studbook.desk.rooms.bloodlines.numbers import Answer
from studbook.desk.theme import Type, typeface
from studbook.desk.wording import day_text, sentence_text
from studbook.drawing.charts.chart import ChartDrawing, draw_chart
from studbook.planning.sentences import Sentence
from studbook.words import _

_DPI = 96


class BloodlinesPaper:
    """The pages of one report."""

    def __init__(self, answer: Answer, snapshot: Snapshot) -> None:
        self._answer = answer
        self._snapshot = snapshot
        self._look = read_look(dark=False)

    def paint(self, printer: QPrinter, painter: QPainter) -> None:
        """Paint all pages."""
        scale = printer.resolution() / _DPI
        paper = printer.pageLayout().paintRectPixels(printer.resolution())
        self._page = QRectF(0, 0, paper.width() / scale, paper.height() / scale)
        self._printer, self._painter = printer, painter
        painter.scale(scale, scale)
        self._y = 0.0
        ink, faint = self._look.ink, self._look.faint
        yard = self._snapshot.details.yard
        title = _("Bloodlines, {yard}").format(yard=yard) if yard else _("Bloodlines")
        self._text(title, typeface(Type.HEADING, serif=True), ink)
        self._text(day_text(self._answer.question.today), typeface(Type.SMALL), faint)
        self._text(self._answer.basis, typeface(Type.SMALL), faint)
        self._y += 10
        self._text(self._said(self._answer.summary), typeface(Type.LARGE, serif=True), ink)
        self._y += 6
        charts = (
            self._answer.inbreeding,
            self._answer.founders,
            self._answer.retention,
            self._answer.ranking,
        )
        for chart in charts:
            if chart is not None:
                self._chart(draw_chart(chart, self._page.width(), titled=True))
        self._figures(ink, faint)

    def _figures(self, ink: QColor, faint: QColor) -> None:
        for words in self._answer.figures:
            self._need(80)
            value = sentence_text(words.value, self._snapshot)
            heading = _("{title}: {value}").format(title=words.title, value=value)
            self._text(heading, typeface(Type.LARGE, serif=True), ink)
            self._text(self._said((words.what,)), typeface(Type.SMALL), faint)
            self._text(self._said(words.meaning + words.advice), typeface(Type.BODY), ink)
            sources = " ".join((words.method.text, *words.method.sources))
            self._text(sources, typeface(Type.SMALL), faint)
            self._y += 10

    def _said(self, sentences: tuple[Sentence, ...]) -> str:
        return " ".join(sentence_text(sentence, self._snapshot) for sentence in sentences)

    def _chart(self, drawing: ChartDrawing) -> None:

        height = min(drawing.height, self._page.height())
        self._need(height)
        width = drawing.width * height / drawing.height
        QSvgRenderer(QByteArray(drawing.svg.encode())).render(
            self._painter, QRectF(0, self._y, width, height)
        )
        self._y += height + 6

    def _text(self, text: str, face: QFont, ink: QColor) -> None:
        """A paragraph across the page."""
        if not text:
            return
        self._painter.setFont(face)
        flags = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft
        room = QRectF(0, self._y, self._page.width(), 10_000)
        needed = self._painter.boundingRect(room, flags, text)
        self._need(needed.height())
        self._painter.setFont(face)
        self._painter.setPen(ink)
        self._painter.drawText(QRectF(0, self._y, self._page.width(), needed.height() + 2), flags, text)
        self._y += needed.height() + 3

    def _need(self, height: float) -> None:
        """Turn the page when less than `height` is left."""
        if self._y + height > self._page.height() and self._y > 0:
            self._printer.newPage()
            self._y = 0.0
