"""A table on paper: title, day, the columns with hairlines, as many pages as it needs."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QPen
from PySide6.QtPrintSupport import QPrinter, QPrintPreviewDialog
from PySide6.QtWidgets import QWidget

from studbook.desk import printing
from studbook.desk.look import read_look
from studbook.desk.tables import Column
from studbook.desk.theme import Type, typeface
from studbook.words import _

_DPI = 96
_ROW = 20.0
_GAP = 12.0
_LANDSCAPE_LETTERS = 90


@dataclass(frozen=True)
class TablePaper:
    """What stands on the pages; `remark` is a line below the title."""

    title: str
    remark: str
    columns: Sequence[Column[Any]]
    rows: Sequence[Any]

    @property
    def is_wide(self) -> bool:
        """True when the sheet is better turned."""
        return sum(max(column.width, len(column.title)) for column in self.columns) > _LANDSCAPE_LETTERS

    def paint(self, printer: QPrinter, painter: QPainter) -> None:
        """Paint all pages."""
        scale = printer.resolution() / _DPI
        paper = printer.pageLayout().paintRectPixels(printer.resolution())
        page = QRectF(0, 0, paper.width() / scale, paper.height() / scale)
        painter.scale(scale, scale)
        top = self._head(painter, page)
        widths = self._widths(page.width())
        top = self._titles(painter, page, top, widths)
        number = 1
        for row in self.rows:
            if top + _ROW > page.height() - _ROW:
                self._foot(painter, page, number)
                printer.newPage()
                number += 1
                top = self._titles(painter, page, 0.0, widths)
            self._line(painter, page, top, widths, [column.text(row) for column in self.columns])
            top += _ROW
        self._foot(painter, page, number)

    def _head(self, painter: QPainter, page: QRectF) -> float:
        colours = read_look(dark=False)
        painter.setPen(colours.ink)
        painter.setFont(typeface(Type.HEADING, serif=True))
        painter.drawText(QRectF(0, 0, page.width(), 30), Qt.AlignmentFlag.AlignLeft, self.title)
        painter.setPen(colours.faint)
        painter.setFont(typeface(Type.SMALL))
        painter.drawText(QRectF(0, 30, page.width(), 18), Qt.AlignmentFlag.AlignLeft, self.remark)
        return 60.0

    def _titles(self, painter: QPainter, page: QRectF, top: float, widths: list[float]) -> float:
        self._line(painter, page, top, widths, [column.title for column in self.columns], bold=True)
        return top + _ROW + 2

    def _line(
        self,
        painter: QPainter,
        page: QRectF,
        top: float,
        widths: list[float],
        texts: list[str],
        *,
        bold: bool = False,
    ) -> None:
        colours = read_look(dark=False)
        face = typeface(Type.SMALL, bold=bold)
        painter.setFont(face)
        painter.setPen(colours.faint if bold else colours.ink)
        left = 0.0
        for column, width, text in zip(self.columns, widths, texts, strict=True):
            cut = QFontMetricsF(face).elidedText(text, Qt.TextElideMode.ElideRight, width - _GAP)
            side = Qt.AlignmentFlag.AlignRight if column.right else Qt.AlignmentFlag.AlignLeft
            painter.drawText(QRectF(left, top, width - _GAP, _ROW), side | Qt.AlignmentFlag.AlignVCenter, cut)
            left += width
        painter.setPen(QPen(colours.faint if bold else colours.hair, 0.6))
        painter.drawLine(0, round(top + _ROW), round(page.width()), round(top + _ROW))

    def _foot(self, painter: QPainter, page: QRectF, number: int) -> None:
        painter.setFont(typeface(Type.SMALL))
        painter.setPen(read_look(dark=False).faint)
        place = QRectF(0, page.height() - _ROW, page.width(), _ROW)
        painter.drawText(place, Qt.AlignmentFlag.AlignRight, _("page {number}").format(number=number))

    def _widths(self, whole: float) -> list[float]:
        """Each column as wide as its longest text, all shrunk alike when the page is too narrow."""
        face: QFont = typeface(Type.SMALL, bold=True)
        metrics = QFontMetricsF(face)
        wanted = [
            max(metrics.horizontalAdvance(text) for text in (column.title, *map(column.text, self.rows)))
            + _GAP
            for column in self.columns
        ]
        return [width * min(1.0, whole / sum(wanted)) for width in wanted]


def print_table(parent: QWidget, paper: TablePaper) -> QPrintPreviewDialog:
    """Open the preview of a table on paper."""
    return printing.preview(parent, paper.title, paper.paint, landscape=paper.is_wide)
