"""The matrix on paper and as a list for a spreadsheet."""

import csv
from io import StringIO

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QFont, QPainter
from PySide6.QtPrintSupport import QPrinter

from studbook.book.records import BirdId, Snapshot
from studbook.desk.look import read_look
from studbook.desk.rooms.pairing.pairs.cell_marks import paint_marks
from studbook.desk.rooms.pairing.pairs.figures import number_with
from studbook.desk.rooms.pairing.pairs.matrix import cell_colours
from studbook.desk.rooms.pairing.pairs.model import MatrixModel
from studbook.desk.rooms.pairing.pairs.numbers import Answer
from studbook.desk.theme import Type, font
from studbook.desk.wording import bird_text, day_text, percent_text
from studbook.planning.pair_methods import Shown, shown_word
from studbook.planning.sentences import plain
from studbook.words import _

_DPI = 96
_ROW = 20
_HEN_COLUMN = 150
_COCK_COLUMN = 62
_HEADER = 40


def matrix_csv(model: MatrixModel) -> str:
    """The matrix as RFC 4180 text in the order it is shown: a line for each hen, figures as shares of 1.

    The first heading names the figure where it is not F of the chicks.
    """
    out = StringIO()
    writer = csv.writer(out)
    columns, rows = range(1, model.columnCount()), range(1, model.rowCount())
    corner = _("hen")
    if model.shown is not Shown.EXPECTED:
        corner = _("hen ({figure})").format(figure=shown_word(model.shown))
    writer.writerow(
        [corner, *(_harmless(model.headerData(column, Qt.Orientation.Horizontal)) for column in columns)]
    )
    for row in rows:
        figures = (f"{model.value(row, column):.6f}" for column in columns)
        writer.writerow([_harmless(model.headerData(row, Qt.Orientation.Vertical)), *figures])
    return out.getvalue()


def _harmless(text: str) -> str:
    """`text` that no spreadsheet takes for a formula."""
    return f"'{text}" if text[:1] in ("=", "+", "-", "@") else text


class PairingPaper:
    """The pages of one answer: the matrix in its order, then the sentences hen by hen."""

    def __init__(self, answer: Answer, model: MatrixModel, snapshot: Snapshot) -> None:
        self._answer = answer
        self._model = model
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
        self._head()
        self._matrix()
        self._sentences()

    def _head(self) -> None:
        details = self._snapshot.details
        title = _("Pairing, {yard}").format(yard=details.yard) if details.yard else _("Pairing")
        self._text(title, _face(Type.HEADING, serif=True), self._look.ink)
        self._text(day_text(self._answer.figures.question.today), _face(Type.SMALL), self._look.faint)
        self._text(self._answer.figures.basis, _face(Type.SMALL), self._look.faint)
        limit = percent_text(self._answer.figures.question.rules.limit, 2)
        legend = _(
            "{figure}. Grey with a stroke: not wanted, such as over {limit}; with a cross: banned. Dot: paired before. "
            "Bold: the cock that suits the hen best."
        )
        figure = self._answer.figures.method.name
        self._text(legend.format(figure=figure, limit=limit), _face(Type.SMALL), self._look.faint)
        self._y += 8

    def _matrix(self) -> None:
        """In strips of as many cocks, and runs of as many hens, as a page holds."""
        at_once = max(1, int((self._page.width() - _HEN_COLUMN) // _COCK_COLUMN))
        columns = list(range(self._model.columnCount()))
        for first in range(0, len(columns), at_once):
            strip = columns[first : first + at_once]
            self._need(_HEADER + 2 * _ROW)
            self._column_heads(strip)
            for row in range(self._model.rowCount()):
                if self._y + _ROW > self._page.height():
                    self._turn()
                    self._column_heads(strip)
                self._row(row, strip)
            self._y += 16

    def _column_heads(self, strip: list[int]) -> None:
        for place, column in enumerate(strip):
            cock = self._model.cock(column)
            lines = [cock.mark, cock.name] if cock else [_("mean")]
            for line, text in enumerate(text for text in lines if text):
                cell = QRectF(_HEN_COLUMN + place * _COCK_COLUMN, self._y + line * 17, _COCK_COLUMN, 17)
                self._cell(cell, text, _face(Type.SMALL), self._look.ink)
        self._y += _HEADER

    def _row(self, row: int, strip: list[int]) -> None:
        hen = self._model.hen(row)
        beside = QRectF(0, self._y, _HEN_COLUMN - 6, _ROW)
        self._cell(beside, bird_text(hen) if hen else _("mean"), _face(Type.SMALL), self._look.ink, left=True)
        for place, column in enumerate(strip):
            cell = QRectF(_HEN_COLUMN + place * _COCK_COLUMN, self._y, _COCK_COLUMN, _ROW)
            greyed = self._model.is_greyed(row, column)
            ink = self._look.ink
            if hen is not None and self._model.cock(column) is not None:
                ground, ink = cell_colours(self._look, self._model.depth(row, column), greyed=greyed)
                self._painter.fillRect(cell.adjusted(0, 0, -1, -1), ground)
                bar, had_eggs = self._model.bar(row, column), self._model.had_eggs(row, column)
                paint_marks(self._painter, cell, bar, had_eggs, ink, 1.0)
            is_bold = self._model.is_best(row, column)
            self._cell(cell, self._model.text(row, column), _face(Type.SMALL, bold=is_bold), ink)
        self._y += _ROW

    def _sentences(self) -> None:
        def called(bird: BirdId) -> str:
            return bird_text(self._snapshot.bird(bird))

        for remark in self._answer.remarks:
            self._text(plain(remark, called, number_with), _face(Type.BODY), self._look.faint)
        for hen, words in self._answer.by_hen:
            self._need(60)
            self._text(called(hen), _face(Type.LARGE, serif=True), self._look.ink)
            for sentences, ink in (
                (words.best, self._look.ink),
                (words.remarks, self._look.faint),
                (words.others, self._look.ink),
            ):
                said = " ".join(plain(sentence, called, number_with) for sentence in sentences)
                if said:
                    self._text(said, _face(Type.BODY), ink)
            self._y += 8

    def _text(self, text: str, face: QFont, ink: QColor) -> None:
        """A paragraph across the page."""
        self._painter.setFont(face)
        flags = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft
        room = QRectF(0, self._y, self._page.width(), 10_000)
        needed = self._painter.boundingRect(room, flags, text)
        if self._need(needed.height()):
            room.moveTop(self._y)
        self._painter.setPen(ink)
        self._painter.drawText(QRectF(0, self._y, self._page.width(), needed.height() + 2), flags, text)
        self._y += needed.height() + 3

    def _cell(self, cell: QRectF, text: str, face: QFont, ink: QColor, *, left: bool = False) -> None:
        self._painter.setFont(face)
        self._painter.setPen(ink)
        side = Qt.AlignmentFlag.AlignLeft if left else Qt.AlignmentFlag.AlignHCenter
        cut = self._painter.fontMetrics().elidedText(text, Qt.TextElideMode.ElideRight, int(cell.width()) - 2)
        self._painter.drawText(cell, side | Qt.AlignmentFlag.AlignVCenter, cut)

    def _need(self, height: float) -> bool:
        """Turn the page when less than `height` is left; True when it was turned."""
        if self._y + height <= self._page.height() or self._y == 0:
            return False
        self._turn()
        return True

    def _turn(self) -> None:
        self._printer.newPage()
        self._y = 0.0


def _face(size: Type, *, serif: bool = False, bold: bool = False) -> QFont:
    """A face of the type scale at its printed size, whatever the text size of the window."""
    face = font(size, serif=serif, bold=bold)
    face.setPixelSize(int(size))
    return face
